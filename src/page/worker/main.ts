import { expose } from "comlink";
import { advanceJob, dropJob } from "./jobs.ts";
import { full, look, onPaper, tableOf, windowOf } from "./look.ts";
import { mapAgain, mapTable } from "./maps.ts";
import { pulseLook, pulseOnPaper, pulseTable } from "./pulse.ts";
import { ratesNumbers, ratesOnPaper } from "./pulseRates.ts";
import { startStudy } from "./studies.ts";

/** What a page can ask of a worker; two of them run, one for what must be quick, one for the rest. */
const calls = {
  look,
  full,
  windowOf,
  onPaper,
  tableOf,
  startStudy,
  mapAgain,
  mapTable,
  pulseLook,
  pulseTable,
  pulseOnPaper,
  ratesNumbers,
  ratesOnPaper,
  advanceStudy: (id: number, ms: number) => advanceJob(id, ms, () => performance.now()),
  dropStudy: dropJob,
};

export type WorkerCalls = typeof calls;

expose(calls);
