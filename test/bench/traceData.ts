import { expect } from "vitest";
import type { Data, Kind, Settings } from "../../src/bench/kind.ts";
import { readSettings } from "../../src/bench/readSettings.ts";
import type { QuantityKind } from "../../src/units/index.ts";

/** Settings of a kind from their texts, its standards included. */
export function settingsOf(kind: Kind, texts: Record<string, string> = {}, files = 1): Settings {
  const written = Object.entries(texts).map(([key, text]) => ({ key, text }));
  const { settings, problems } = readSettings(kind, written, files);
  expect(problems).toEqual([]);
  return settings;
}

/** An evenly sampled trace as the importer hands it over. */
export function traceData(
  dt: number,
  signal: Float64Array,
  gate?: Float64Array,
  kind: QuantityKind = "voltage",
): Data {
  const columns = new Map([
    ["time", Float64Array.from(signal, (_, i) => i * dt)],
    ["signal", signal],
  ]);
  if (gate !== undefined) columns.set("gate", gate);
  const kinds = new Map<string, QuantityKind>([
    ["time", "time"],
    ["signal", kind],
    ["gate", "voltage"],
  ]);
  return { name: "trace.csv", columns, kinds, rows: signal.length, interval: dt, firstRow: 2 };
}
