import { expect, test } from "vitest";
import type { Kind, Setting } from "./kind.ts";
import { readSettings } from "./readSettings.ts";

const setting = (key: string, more: Partial<Setting>): Setting => ({
  key,
  kind: null,
  summary: "",
  required: false,
  standard: null,
  ...more,
});

const KIND: Kind = {
  name: "made",
  summary: "",
  roles: [],
  settings: [
    setting("screen-distance", { kind: "length", required: true }),
    setting("voltage", { kind: "voltage", perFile: true, standard: "0 V" }),
    setting("shape", { choices: ["voltage", "force"], standard: "voltage" }),
    setting("window", { kind: "time", choices: ["all"] }),
    setting("note", {}),
  ],
  files: { min: 1, max: 3 },
  reduce: () => {
    throw new Error("not called");
  },
};

const read = (files: number, ...texts: string[]) =>
  readSettings(
    KIND,
    texts.map((text) => ({ key: text.split("=")[0]!, text: text.split("=").slice(1).join("=") })),
    files,
  );

test("quantities come with their standard uncertainty, standards hold where nothing is given", () => {
  const { settings, problems, missing } = read(1, "screen-distance=300(1) mm", "window=all");
  expect(problems).toEqual([]);
  expect(missing).toEqual([]);
  expect(settings.get("screen-distance")).toEqual({ value: 0.3, u: 1e-3 });
  expect(settings.get("voltage")).toEqual({ value: 0, u: 0 });
  expect(settings.get("shape")).toBe("voltage");
  expect(settings.get("window")).toBe("all");
  expect(settings.has("note")).toBe(false);
});

test("a value for each file, or one for all", () => {
  expect(read(2, "voltage=10 V, 20(1) V").settings.get("voltage")).toEqual([
    { value: 10, u: 0 },
    { value: 20, u: 1 },
  ]);
  expect(read(3, "voltage=10 V").settings.get("voltage")).toEqual({ value: 10, u: 0 });
  expect(read(3, "voltage=10 V,20 V").problems).toMatchObject([
    { key: "voltage", message: "2 values for 3 files", found: "10 V,20 V" },
  ]);
});

test("what can't be used is named, all of it at once, with what is allowed", () => {
  const { problems, missing } = read(
    1,
    "screen-distanse=300 mm",
    "voltage=3 bar",
    "shape=forse",
    "window=3 mm",
    "note=a",
    "note=b",
  );
  expect(problems.map(({ key }) => key)).toEqual([
    "screen-distanse",
    "voltage",
    "shape",
    "window",
    "note",
  ]);
  expect(problems[0]).toMatchObject({ hint: "did you mean screen-distance?" });
  expect(problems[1]!.message).toContain("bar is no unit of a voltage");
  expect(problems[2]).toMatchObject({ allowed: "voltage, force", hint: "did you mean force?" });
  expect(problems[3]!.allowed).toContain("all, or a time");
  expect(problems[4]!.message).toBe("given twice");
  expect(missing.map(({ key }) => key)).toEqual(["screen-distance"]);
});
