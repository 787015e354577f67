import { proxy, type Remote, wrap } from "comlink";
import type { BenchCalls } from "../worker/bench.ts";

/*
 * The line to the worker of the bench. It holds the columns of the files that were read, so it is not replaced
 * in silence when it is lost: files have to be opened again.
 */

let worker: Worker | null = null;
let remote: Remote<BenchCalls> | null = null;
let lost: (what: string) => void = () => {};

/** Says who hears that the worker was lost. */
export function onBenchLost(hear: (what: string) => void): void {
  lost = hear;
}

/** The worker, started at the first call. */
export function bench(): Remote<BenchCalls> {
  if (remote !== null) return remote;
  const address =
    document.querySelector<HTMLMetaElement>('meta[name="bench-worker"]')?.content ?? "";
  worker = new Worker(address, { type: "module" });
  worker.onerror = (event) => {
    event.preventDefault();
    endBench(event.message || "the program of the bench could not be loaded");
  };
  remote = wrap<BenchCalls>(worker);
  return remote;
}

/** Ends the worker and what it holds. */
function endBench(what: string): void {
  worker?.terminate();
  worker = null;
  remote = null;
  lost(what);
}

export { proxy };
