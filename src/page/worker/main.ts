import { expose } from "comlink";
import { full, look, onPaper, windowOf } from "./look.ts";

/** What a page can ask of a worker; two of them run, one for what must be quick, one for the rest. */
const calls = { look, full, windowOf, onPaper, alive: () => true };

export type WorkerCalls = typeof calls;

expose(calls);
