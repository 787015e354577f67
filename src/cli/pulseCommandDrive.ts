import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import { readDriveText } from "../physics/waveformText.ts";
import type { PulseOptions } from "../studies/pulseOptions.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import { trouble } from "./trouble.ts";

/** Largest table of a drive, bytes. */
const MOST_BYTES = 100e6;
const DUE = "a table as text, UTF-8, of at most 100 MB";

/** A drive that was read from a file. */
export interface DriveFile {
  /** What goes into the options of the run. */
  options: Pick<PulseOptions, "edges" | "waveform">;
  /** When its last point comes, s. */
  end: number;
  /** For the provenance. */
  described: { name: string; bytes: number; sha256: string };
}

/**
 * Reads the drive of `--edges` or `--waveform`; null where neither is given.
 * @throws Stop with exit code 2 for a file that is no such table, with each place that is wrong
 */
export async function readDrive(flags: Flags, host: Host): Promise<DriveFile | null> {
  const path = flags.edges ?? flags.waveform;
  if (path === undefined) return null;
  const wanted = flags.edges === undefined ? "voltage" : "edges";
  const name = path === "-" ? "standard input" : path;
  const bytes = path === "-" ? await fromStream(host) : fromFile(path);
  const read = readDriveText(decoded(name, bytes));
  if (!read.ok)
    throw new Stop(
      EXIT.invalid,
      ...read.problems.map(({ line, message, found, allowed }) =>
        trouble("drive-table", message, { file: name, line, column: 1, found, allowed }),
      ),
    );
  const { table } = read;
  const described = {
    name,
    bytes: bytes.length,
    sha256: createHash("sha256").update(bytes).digest("hex"),
  };
  if (table.form === "edges" && wanted === "edges") {
    mustStartAtZero(name, table.commands[0]?.time);
    const end = table.commands[table.commands.length - 1]?.time ?? 0;
    return { options: { edges: table.commands }, end, described };
  }
  if (table.form === "voltage" && wanted === "voltage") {
    mustStartAtZero(name, table.times[0]);
    const waveform = { time_s: Array.from(table.times), voltage_V: Array.from(table.voltages) };
    return { options: { waveform }, end: waveform.time_s.at(-1) ?? 0, described };
  }
  throw new Stop(
    EXIT.invalid,
    trouble("drive-table", `this is no table for --${wanted === "edges" ? "edges" : "waveform"}`, {
      file: name,
      found: CONTENT[table.form],
      allowed: CONTENT[wanted],
      hint:
        table.form === "edges"
          ? "did you mean --edges?"
          : table.form === "voltage"
            ? "did you mean --waveform?"
            : table.form === "level"
              ? "write the voltages that the levels stand for: time_s,voltage_V"
              : "",
    }),
  );
}

const CONTENT = {
  voltage: "time and voltage",
  level: "time and level",
  edges: "time and state (high, low, off)",
  timing: "edges for a timing generator",
} as const;

function mustStartAtZero(name: string, time: number | undefined): void {
  if (time === undefined || time >= 0) return;
  throw new Stop(
    EXIT.invalid,
    trouble("drive-table", "times count from the opening edge, and none may lie before it", {
      file: name,
      found: `${time} s`,
      allowed: "times from 0 s on",
      hint: "shift the times of the table",
    }),
  );
}

const refused = (code: string, file: string, message: string, found = "") =>
  new Stop(EXIT.invalid, trouble(code, message, { file, found, allowed: DUE }));

function fromFile(path: string): Uint8Array {
  try {
    const stat = statSync(path);
    if (!stat.isFile()) throw refused("not-a-file", path, "not a file");
    if (stat.size > MOST_BYTES)
      throw refused("too-large", path, "the file is too large", `${stat.size} bytes`);
    return readFileSync(path);
  } catch (error) {
    if (error instanceof Stop) throw error;
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR")
      throw refused("no-such-file", path, "there is no such file");
    throw refused("not-readable", path, `the file can't be read (${code ?? "no reason known"})`);
  }
}

async function fromStream(host: Host): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  let size = 0;
  for await (const part of host.stdin()) {
    const bytes = typeof part === "string" ? Buffer.from(part) : part;
    size += bytes.length;
    if (size > MOST_BYTES) throw refused("too-large", "standard input", "the table is too large");
    parts.push(bytes);
  }
  return Buffer.concat(parts);
}

function decoded(name: string, bytes: Uint8Array): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw refused("not-utf-8", name, "not UTF-8 text");
  }
}
