import { type Remote, wrap } from "comlink";
import type { WorkerCalls } from "../worker/main.ts";

/** Longest that an answer may take before the worker counts as stuck, ms. */
const PATIENCE = 20_000;
/** Crashes in a row after which nothing is started again until the next change. */
const TRIES = 3;

export type Lost = { what: string; again: boolean };

/**
 * A line to one worker. A worker that throws outside a call, never answers or was ended by the
 * browser is replaced by a new one, and `onLost` is told; the call that it left open is refused.
 */
export class WorkerLine {
  private worker: Worker | null = null;
  private remote: Remote<WorkerCalls> | null = null;
  private fail: ((reason: Error) => void) | null = null;
  private crashes = 0;
  private tail: Promise<unknown> = Promise.resolve();
  private waiting = 0;
  /** How many workers there were: what the one before knew is gone with it. */
  started = 0;
  private readonly address: string;
  private readonly onLost: (lost: Lost) => void;

  constructor(address: string, onLost: (lost: Lost) => void) {
    this.address = address;
    this.onLost = onLost;
    this.start();
  }

  private start(): void {
    this.started += 1;
    const worker = new Worker(this.address, { type: "module" });
    worker.onerror = (event) => {
      event.preventDefault();
      this.lose(event.message || "the program of the computation could not be loaded");
    };
    worker.onmessageerror = () => this.lose("an answer could not be read");
    this.worker = worker;
    this.remote = wrap<WorkerCalls>(worker);
  }

  private lose(what: string): void {
    this.worker?.terminate();
    this.worker = null;
    this.remote = null;
    this.crashes += 1;
    const again = this.crashes < TRIES;
    if (again) this.start();
    this.fail?.(new Error(what));
    this.fail = null;
    this.onLost({ what, again });
  }

  /** A new change of the design is a new chance for a worker that kept crashing. */
  reset(): void {
    this.crashes = 0;
    if (this.worker === null) this.start();
  }

  /**
   * One call at a time, in the order of asking.
   * @throws Error when the worker is lost meanwhile, or what the computation itself threw
   */
  call<T>(ask: (remote: Remote<WorkerCalls>) => Promise<T>): Promise<T> {
    // An idle worker is asked at once, before the page shows anything of the change.
    const turn = this.waiting === 0 ? this.answer(ask) : this.tail.then(() => this.answer(ask));
    const done = () => {
      this.waiting -= 1;
    };
    this.waiting += 1;
    this.tail = turn.then(done, done);
    return turn;
  }

  private async answer<T>(ask: (remote: Remote<WorkerCalls>) => Promise<T>): Promise<T> {
    if (this.remote === null) throw new Error("the computation is stopped");
    const remote = this.remote;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const lost = new Promise<never>((_, reject) => {
      this.fail = reject;
      timer = setTimeout(() => this.lose("the computation gave no answer"), PATIENCE);
    });
    try {
      const answer = await Promise.race([ask(remote), lost]);
      this.crashes = 0;
      return answer;
    } finally {
      clearTimeout(timer);
      this.fail = null;
    }
  }
}
