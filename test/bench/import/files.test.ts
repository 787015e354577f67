import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parquetWriteBuffer } from "hyparquet-writer";
import { expect, test } from "vitest";
import {
  arrayFormat,
  type ImportResult,
  npyTable,
  npzTable,
  readRecipe,
} from "../../../src/bench/import/index.ts";
import { importArrays } from "../../../src/cli/dataInputArrays.ts";
import { seriesCsv, seriesParquet } from "../../../src/cli/seriesFiles.ts";
import { asked, columnsOf, faultsOf, imported, ROLES } from "./read.ts";

/*
 * Files that NumPy 1.24.2 and pandas 1.5.3 wrote (files.py, which is run by hand), read back here and compared with
 * what those libraries hold or read themselves.
 */

const FOLDER = join(import.meta.dirname, "files");
const bytesOf = (name: string) => new Uint8Array(readFileSync(join(FOLDER, name)));
const expected = JSON.parse(readFileSync(join(FOLDER, "expected.json"), "utf8")) as {
  time: number[];
  signal_mV: number[];
  gate: number[];
  read: Record<string, [number[], number[], number[]]>;
};
const NUMBERED =
  "time.column: 1\nsignal.column: 2\ngate.column: 3\ntime.unit: s\nsignal.unit: mV\ngate.unit: V\n";

async function arrays(bytes: Uint8Array, lines = ""): Promise<ImportResult> {
  const read = readRecipe(lines);
  if (!read.ok) throw new Error("not a recipe");
  const format = arrayFormat(bytes);
  if (format === null) throw new Error("not arrays");
  return await importArrays(format, bytes, { name: "file", roles: ROLES, choices: read.recipe });
}

/** Millivolts of the file as volts, each the double nearest to the decimal number. */
const volts = (millivolts: readonly number[]) => millivolts.map((v) => Number(`${v}e-3`));

test("texts of numpy.savetxt give the numbers that numpy.genfromtxt reads", () => {
  for (const [name, [time, signal, gate]] of Object.entries(expected.read)) {
    const lines = name === "savetxt_default.txt" ? NUMBERED : "";
    const found = columnsOf(imported(bytesOf(name), lines));
    expect(found.time, name).toEqual(time);
    expect(found.gate, name).toEqual(gate);
    found.signal?.forEach((v, i) => {
      expect(Math.abs(v / ((signal[i] as number) * 1e-3) - 1), name).toBeLessThan(3e-16);
    });
  }
  expect(Object.keys(expected.read)).toHaveLength(4);
});

test("a text without names is asked about", () => {
  expect(Object.keys(asked(imported(bytesOf("savetxt_default.txt"))))).toEqual([
    "time.column",
    "signal.column",
  ]);
});

test("tables of pandas.DataFrame.to_csv give the numbers of the frame, to the last digit", () => {
  for (const name of ["to_csv_index.csv", "to_csv_europe.csv", "to_csv_units.csv"]) {
    const found = columnsOf(imported(bytesOf(name)));
    expect(found, name).toEqual({
      time: expected.time,
      signal: volts(expected.signal_mV),
      gate: expected.gate,
    });
  }
  const rounded = columnsOf(imported(bytesOf("to_csv_quoted.csv")));
  expect(rounded.signal).toEqual(expected.signal_mV.map((v) => Number(`${v.toFixed(7)}e-3`)));
});

test("a missing value of pandas is an empty cell", () => {
  expect(faultsOf(imported(bytesOf("to_csv_gap.csv")))).toEqual([["empty", 9, 2]]);
  expect(columnsOf(imported(bytesOf("to_csv_gap.csv"), "leave_out: empty")).time).toHaveLength(59);
});

test("numpy.save: rows, columns, Fortran order, byte order, version 2", async () => {
  for (const name of ["rows.npy", "columns_big_endian.npy", "fortran.npy", "version2.npy"]) {
    const found = columnsOf(await arrays(bytesOf(name), NUMBERED));
    expect(found.time, name).toEqual(expected.time);
    expect(found.gate, name).toEqual(expected.gate);
    expect(found.signal, name).toEqual(expected.signal_mV.map((v) => v / 1000));
  }
  const short = columnsOf(await arrays(bytesOf("float32.npy"), NUMBERED));
  expect(short.gate).toEqual(expected.gate);
  expect(short.signal).toEqual(expected.signal_mV.map((v) => Math.fround(v) / 1000));
});

test("numpy.save: halves, whole numbers and structures", async () => {
  const [half] = npyTable(bytesOf("half.npy")).columns;
  half?.values?.forEach((v, i) => {
    expect(Math.abs(v - (expected.signal_mV[i] as number))).toBeLessThan(0.3);
  });
  expect([...(npyTable(bytesOf("int16.npy")).columns[0]?.values ?? [])]).toEqual(
    expected.signal_mV.map((v) => Math.round(v)),
  );
  expect([...(npyTable(bytesOf("int64.npy")).columns[0]?.values ?? [])]).toEqual([
    1,
    -2,
    2 ** 53,
    2 ** 62,
  ]);
  const fields = await arrays(bytesOf("fields.npy"));
  expect(columnsOf(fields)).toEqual({
    time: expected.time,
    signal: expected.signal_mV.map((v) => Math.fround(v) / 1000),
    gate: expected.gate,
  });
  if (fields.outcome === "data") expect(fields.reading.columns[3]?.holds).toBe("text");
  expect(npyTable(bytesOf("version3.npy")).columns[0]?.name).toBe("Ω");
});

test("arrays that are no table are refused with what was found", async () => {
  const message = async (bytes: Uint8Array) => {
    const result = await arrays(bytes);
    return result.outcome === "refused" ? result.problems[0]?.message : result.outcome;
  };
  expect(await message(bytesOf("cube.npy"))).toBe("an array of shape (2, 3, 4)");
  expect(await message(bytesOf("complex.npy"))).toBe('elements of type "<c16"');
  expect(await message(bytesOf("nested.npy"))).toBe("a structure inside a structure");
  expect(await message(bytesOf("lengths.npz"))).toBe(
    "arrays of different length: time 60, signal 59",
  );
  expect(await message(bytesOf("rows.npy").subarray(0, 900))).toMatch(/180 elements of 8 bytes/);
  expect(await message(bytesOf("plain.npz").subarray(0, 900))).toMatch(/can't be read/);
});

test("numpy.savez, plain and compressed: columns by name, single numbers said", async () => {
  for (const name of ["plain.npz", "compressed.npz"]) {
    const found = columnsOf(await arrays(bytesOf(name)));
    expect(found, name).toEqual({
      time: expected.time,
      signal: expected.signal_mV.map((v) => v / 1000),
    });
  }
  expect(npzTable(bytesOf("plain.npz")).notes).toEqual(["dt is a single number and not used"]);
});

const ORIGIN = { version: "0.1.0", design: "a", sha256: "0", drive: "gate", part: "series" };
const SERIES = [
  { name: "time_s", unit: "s", label: "time", values: Float64Array.of(0, 1e-6, 2e-6) },
  { name: "gate_V", unit: "V", label: "gate", values: Float64Array.of(0, 5, 5) },
  { name: "signal_m", unit: "m", label: "signal", values: Float64Array.of(0.1, 1 / 3, 2e-300) },
  { name: "share", unit: "1", label: "share", values: Float64Array.of(0, 0, 1) },
];
const SAME = { time: [0, 1e-6, 2e-6], signal: [0.1, 1 / 3, 2e-300], gate: [0, 5, 5] };

test("our own CSV and Parquet come back as the same numbers in the same units, without questions", async () => {
  const text = imported(new Uint8Array(seriesCsv(ORIGIN, SERIES)));
  expect(columnsOf(text)).toEqual(SAME);
  const parquet = await arrays(await seriesParquet(ORIGIN, SERIES));
  expect(columnsOf(parquet)).toEqual(SAME);
  for (const result of [text, parquet]) {
    expect(result.reading?.columns.map(({ name, unit }) => [name, unit])).toEqual([
      ["time_s", "s"],
      ["gate_V", "V"],
      ["signal_m", "m"],
      ["share", ""],
    ]);
    if (result.outcome === "data") expect(result.data.kinds.get("signal")).toBe("length");
  }
});

test("Parquet with missing numbers, words and damage", async () => {
  const made = new Uint8Array(
    parquetWriteBuffer({
      columnData: [
        { name: "time (s)", data: [0, 1, 2], type: "DOUBLE" },
        { name: "signal (V)", data: [1, null, 3], type: "DOUBLE", nullable: true },
        { name: "mark", data: ["a", "b", "c"], type: "STRING" },
      ],
    }),
  );
  expect(faultsOf(await arrays(made))).toEqual([["not-finite", 2, 2]]);
  expect(columnsOf(await arrays(made, "leave_out: not-finite")).signal).toEqual([1, 3]);
  const broken = await arrays(made.subarray(0, made.length - 20));
  expect(faultsOf(broken)).toEqual([["format", 0, 0]]);
});
