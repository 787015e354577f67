import { type ChildProcess, spawn } from "node:child_process";
import {
  chmodSync,
  copyFileSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { onTestFinished } from "vitest";

const ROOT = join(import.meta.dirname, "..", "..");

export const NAME = "valve.reed.yaml";
export const TEXT = "reedlift: 1\nname: Valve\n";

/** A folder that everyone may read, gone after the test. */
export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), "reedlift-serve-"));
  chmodSync(folder, 0o755);
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A folder with one design. */
export function designs(): string {
  const folder = scratch();
  writeFileSync(join(folder, NAME), TEXT);
  return folder;
}

/** The shipped command beside a page of the test's own, or beside none. Returns the command's file. */
export function shipped(withPage = true): string {
  const folder = scratch();
  cpSync(join(ROOT, "dist", "cli"), join(folder, "dist", "cli"), { recursive: true });
  copyFileSync(join(ROOT, "package.json"), join(folder, "package.json"));
  if (withPage) {
    mkdirSync(join(folder, "dist", "page", "assets"), { recursive: true });
    writeFileSync(join(folder, "dist", "page", "index.html"), "<!doctype html><title>Page</title>");
    writeFileSync(join(folder, "dist", "page", "assets", "page-AB12CD34.js"), "export {};\n");
  }
  return join(folder, "dist", "cli", "main.js");
}

export interface Serving {
  /** What it printed on stdout, without the newline. */
  line: string;
  url: URL;
  process: ChildProcess;
  out(): string;
  err(): string;
  /** Sends a signal; gives the exit code, or the signal's name where it died of it. */
  end(signal?: NodeJS.Signals): Promise<number | NodeJS.Signals | null>;
}

export interface Ended {
  code: number | NodeJS.Signals | null;
  out: string;
  err: string;
}

/** Runs `reedlift serve`: gives what serves, or what it ended with when it did not start. */
export function serve(
  words: readonly string[],
  options: { main?: string; cwd?: string; asNobody?: boolean } = {},
): Promise<Serving | Ended> {
  const rights = options.asNobody === true ? { uid: 65534, gid: 65534 } : {};
  const child = spawn(process.execPath, [options.main ?? shipped(), "serve", ...words], {
    cwd: options.cwd ?? "/",
    env: { ...process.env, NO_COLOR: "1" },
    ...rights,
  });
  onTestFinished(() => void child.kill("SIGKILL"));
  let out = "";
  let err = "";
  child.stderr.on("data", (bytes: Buffer) => {
    err += bytes.toString();
  });
  const exit = new Promise<number | NodeJS.Signals | null>((resolve) => {
    child.on("close", (code, signal) => resolve(code ?? signal));
  });
  const end = (signal: NodeJS.Signals = "SIGINT") => {
    child.kill(signal);
    return exit;
  };
  return new Promise((resolve) => {
    child.stdout.on("data", (bytes: Buffer) => {
      out += bytes.toString();
      const address = /http:\/\/[^\s"]+/.exec(out)?.[0];
      if (address === undefined || !out.endsWith("\n")) return;
      const url = new URL(address);
      resolve({ line: out.trimEnd(), url, process: child, out: () => out, err: () => err, end });
    });
    void exit.then((code) => resolve({ code, out, err }));
  });
}

/** The same where it must start. */
export async function serving(...words: Parameters<typeof serve>): Promise<Serving> {
  const started = await serve(...words);
  if ("code" in started) throw new Error(`it did not start: ${started.err}`);
  return started;
}

/** The same where it must not start. */
export async function refused(...words: Parameters<typeof serve>): Promise<Ended> {
  const ended = await serve(...words);
  if (!("code" in ended)) throw new Error(`it started: ${ended.line}`);
  return ended;
}

/** Sends bytes as they stand and gives everything that comes back, until the other side ends or rests. */
export function raw(port: number, text: string, host = "127.0.0.1"): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, host);
    let answer = "";
    socket.setTimeout(1500, () => socket.destroy());
    socket.on("data", (bytes: Buffer) => {
      answer += bytes.toString("latin1");
    });
    socket.on("close", () => resolve(answer));
    socket.on("error", (error: NodeJS.ErrnoException) =>
      error.code === "ECONNRESET" || error.code === "EPIPE" ? resolve(answer) : reject(error),
    );
    socket.write(text, "latin1");
  });
}
