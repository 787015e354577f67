import { writeSync } from "node:fs";
import { isMainThread, workerData } from "node:worker_threads";
import { EXIT } from "./exit.ts";
import type { Host } from "./host.ts";
import { runCommandLine } from "./program.ts";

/** Streams whose reader went away. What is written to them is dropped; the exit code stays. */
const gone = new Set<number>();

/** Writes all of a text, waiting for a slow reader. */
function write(fd: number, text: string): void {
  const bytes = Buffer.from(text);
  let at = 0;
  while (at < bytes.length && !gone.has(fd)) {
    try {
      at += writeSync(fd, bytes, at);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === "EAGAIN") Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 5);
      else if (code === "EPIPE" || fd === 2) gone.add(fd);
      else {
        write(2, `reedlift: the result can't be written (${code})\n`);
        process.exit(EXIT.failed);
      }
    }
  }
}

/** Set while a command waits for its end by the user. */
let end: (() => void) | null = null;

const terminal = process.stdout.isTTY === true;
const host: Host = {
  out: (text) => write(1, text),
  err: (text) => write(2, text),
  terminal,
  columns: terminal ? process.stdout.columns : null,
  env: process.env,
  stdin: () => process.stdin,
  ended: () =>
    new Promise((resolve) => {
      end = resolve;
    }),
};

/** A second one does not wait for what the first one ended. */
function interrupted(): void {
  if (end === null) process.exit(EXIT.interrupted);
  end();
  end = null;
}

/** Runs the command line of this process; its exit code is set in the end. */
export async function runProcess(): Promise<void> {
  if (!isMainThread) {
    const { isRatesJob, ratesThread } = await import("./ratesCommandWorker.ts");
    if (isRatesJob(workerData)) await ratesThread();
    return;
  }
  process.on("SIGINT", interrupted);
  process.on("SIGTERM", interrupted);
  process.exitCode = await runCommandLine(process.argv.slice(2), host);
}

export { runCommandLine };
