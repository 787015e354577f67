import { expose } from "comlink";
import { advanceJob, dropJob } from "./jobs.ts";
import { full, look, onPaper, tableOf, windowOf } from "./look.ts";

/** What the first picture does not need is loaded when it is first asked for. */
const maps = () => import("./maps.ts");
const studies = () => import("./studies.ts");
const pulses = () => import("./pulse.ts");
const rates = () => import("./pulseRates.ts");

type Calls<M> = { [K in keyof M]: M[K] extends (...args: never[]) => unknown ? M[K] : never };

/** A call of a module that comes later. */
function late<M, K extends keyof Calls<M>>(load: () => Promise<M>, name: K) {
  type Call = Extract<M[K], (...args: never[]) => unknown>;
  return async (...args: Parameters<Call>): Promise<Awaited<ReturnType<Call>>> =>
    ((await load())[name] as Call)(...args) as Awaited<ReturnType<Call>>;
}

/** What a page can ask of a worker; two of them run, one for what must be quick, one for the rest. */
const calls = {
  look,
  full,
  windowOf,
  onPaper,
  tableOf,
  startStudy: late(studies, "startStudy"),
  mapAgain: late(maps, "mapAgain"),
  mapTable: late(maps, "mapTable"),
  pulseLook: late(pulses, "pulseLook"),
  pulseTable: late(pulses, "pulseTable"),
  pulseOnPaper: late(pulses, "pulseOnPaper"),
  ratesNumbers: late(rates, "ratesNumbers"),
  ratesOnPaper: late(rates, "ratesOnPaper"),
  advanceStudy: (id: number, ms: number) => advanceJob(id, ms, () => performance.now()),
  dropStudy: dropJob,
};

export type WorkerCalls = typeof calls;

expose(calls);
