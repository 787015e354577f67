import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parentPort, Worker, workerData } from "node:worker_threads";
import type { Design } from "../design/design.ts";
import type { RateFigures, RatesOptions } from "../studies/rates.ts";
import type { MapCell, RatesMapOptions } from "../studies/ratesMap.ts";

/** What a worker needs once; a design is plain data and travels as it is. */
export interface RatesJob {
  reedlift: "rates";
  design: Design;
  options: RatesOptions;
  map: { options: RatesMapOptions; rates: number[]; gates: number[] } | null;
}

/** One piece of work: a rate of the scan, or a cell of the map. */
export interface RatesPiece {
  what: "rate" | "cell";
  index: number;
}

export type RatesAnswer =
  | { piece: RatesPiece; figures: RateFigures }
  | { piece: RatesPiece; cell: MapCell }
  | { piece: RatesPiece; failed: string };

/** Whether this thread is one that `ratesOnWorkers` started. */
export const isRatesJob = (data: unknown): data is RatesJob =>
  typeof data === "object" && data !== null && (data as RatesJob).reedlift === "rates";

/** Computes pieces; what they share is made at the first one. */
export async function ratesPieces(job: RatesJob): Promise<(piece: RatesPiece) => RatesAnswer> {
  const { rateCase } = await import("../studies/ratesCase.ts");
  const { ratesPlan } = await import("../studies/ratesPlan.ts");
  const { mapCells } = await import("../studies/ratesMap.ts");
  let plan: ReturnType<typeof ratesPlan> | null = null;
  const cells = job.map === null ? null : mapCells(job.design, job.map.options, job.map);
  return (piece) => {
    if (piece.what === "cell")
      return { piece, cell: (cells as (cell: number) => MapCell)(piece.index) };
    plan ??= ratesPlan(job.design, job.options);
    return { piece, figures: rateCase(job.design, plan, plan.rates[piece.index] as number) };
  };
}

/** What a started thread does: it answers one piece after the other. */
export async function ratesThread(): Promise<void> {
  const compute = await ratesPieces(workerData as RatesJob);
  parentPort?.on("message", (piece: RatesPiece) => {
    try {
      parentPort?.postMessage(compute(piece));
    } catch (error) {
      const failed = error instanceof Error ? error.message : String(error);
      parentPort?.postMessage({ piece, failed } satisfies RatesAnswer);
    }
  });
}

/** The built command, which a thread can run; null where the sources are run. */
function command(): string | null {
  const file = fileURLToPath(new URL("./main.js", import.meta.url));
  return existsSync(file) ? file : null;
}

/**
 * Does pieces on threads of this program and hands out each answer as it comes; false: threads can't be had
 * here, nothing is done. Order and number of threads do not matter to an answer.
 * @throws RangeError where a piece could not be computed
 */
export async function ratesOnWorkers(
  job: RatesJob,
  pieces: readonly RatesPiece[],
  jobs: number,
  take: (answer: RatesAnswer) => void,
): Promise<boolean> {
  const file = command();
  if (file === null) return false;
  const count = Math.min(jobs, pieces.length);
  const workers: Worker[] = [];
  let next = 0;
  let open = pieces.length;
  try {
    await new Promise<void>((done, refuse) => {
      if (open === 0) done();
      for (let k = 0; k < count; k++) {
        const worker = new Worker(file, { workerData: job });
        workers.push(worker);
        const give = () => {
          const piece = pieces[next++];
          if (piece !== undefined) worker.postMessage(piece);
        };
        worker.on("message", (answer: RatesAnswer) => {
          if ("failed" in answer) {
            refuse(new RangeError(answer.failed));
            return;
          }
          take(answer);
          open--;
          if (open === 0) done();
          else give();
        });
        worker.on("error", refuse);
        give();
      }
    });
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  return true;
}
