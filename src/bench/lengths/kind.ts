import type { Design } from "../../design/design.ts";
import { withFreeLength } from "../../design/values.ts";
import { fromModel } from "../fromDesign.ts";
import type { Data, Kind, Prediction, Settings } from "../kind.ts";
import type { Reduction } from "../reduction.ts";
import { optional } from "../settings.ts";
import { figuresOf } from "./causes.ts";
import { diagnosed } from "./diagnosis.ts";
import { readingsOf } from "./readings.ts";
import { scaledFromLengths } from "./scaling.ts";

function reduce([data]: readonly Data[], settings: Settings, design: Design | null): Reduction {
  const readings = readingsOf(data!, settings);
  const first = readings.lengths[0]!;
  const several = readings.lengths.some((length) => Math.abs(length - first) > 0.01 * first);
  return several
    ? scaledFromLengths(readings, optional(settings, "scale-to"), design)
    : diagnosed(readings, settings, design);
}

function predict(
  design: Design,
  data: readonly Data[],
  settings: Settings,
  found: Reduction,
): readonly Prediction[] {
  const keys = ["resonance_at_length_Hz", "deflection_at_length_m", "stiffness_at_length_N_m"];
  if (found.values.some((value) => value.key === "effective_length_m")) {
    const input = design.inputs.find(({ path }) => path[0] === "strip" && path[1] === "freeLength");
    return [
      {
        key: "effective_length_m",
        value: design.strip.freeLength,
        u: input?.u ?? 0,
        from: "design: strip.free_length",
        of: "design",
      },
    ];
  }
  const target = optional(settings, "scale-to")?.value ?? design.strip.freeLength;
  return data.length === 0
    ? []
    : fromModel(design, [...keys, "force_at_length_N"], `design at that length`, (d) => {
        const figures = figuresOf(withFreeLength(d, target));
        return figures === null
          ? null
          : [figures.frequency, figures.deflection, figures.stiffness, figures.force];
      });
}

const expected = (
  key: string,
  kind: "length" | "frequency" | "force" | "stiffness" | "ratio",
  what: string,
) => ({
  key: `expected-${key}`,
  kind,
  summary: `${what} expected at that length; from the design without it`,
  required: false,
  standard: null,
});

/** Resonance, swing and force at one free length or at several. */
export const LENGTHS: Kind = {
  name: "lengths",
  summary:
    "several free lengths: clamp correction and scaling to another; one: what length and clamp really are",
  roles: [
    {
      key: "length",
      kinds: ["length"],
      summary: "free length from the clamp edge",
      required: true,
      words: ["length", "free"],
    },
    {
      key: "frequency",
      kinds: ["frequency"],
      summary: "first resonance",
      required: false,
      words: ["f1", "resonance", "frequency", "hz"],
    },
    {
      key: "deflection",
      kinds: ["length"],
      summary: "free deflection or swing at the pad (tip without one), same voltage at each length",
      required: false,
      words: ["deflection", "swing", "travel"],
    },
    {
      key: "stiffness",
      kinds: ["stiffness"],
      summary: "stiffness there",
      required: false,
      words: ["stiffness"],
    },
    {
      key: "force",
      kinds: ["force"],
      summary: "blocking force there, same voltage",
      required: false,
      words: ["force", "blocking"],
    },
    {
      key: "second",
      kinds: ["frequency"],
      summary: "second resonance; tells clamp rotation from tip mass",
      required: false,
      words: ["f2", "second"],
    },
  ],
  settings: [
    {
      key: "scale-to",
      kind: "length",
      summary: "free length to scale to; the design's without it",
      required: false,
      standard: null,
    },
    {
      key: "length-reading",
      kind: "length",
      summary: "standard uncertainty of each length",
      required: false,
      standard: "0.05 mm",
    },
    {
      key: "frequency-scatter",
      kind: "ratio",
      summary: "relative standard uncertainty of each resonance",
      required: false,
      standard: "0.3 %",
    },
    {
      key: "deflection-scatter",
      kind: "ratio",
      summary: "relative standard uncertainty of each deflection",
      required: false,
      standard: "2 %",
    },
    {
      key: "force-scatter",
      kind: "ratio",
      summary: "relative standard uncertainty of each force or stiffness",
      required: false,
      standard: "3 %",
    },
    expected("frequency", "frequency", "first resonance"),
    expected("deflection", "length", "swing"),
    expected("force", "force", "blocking force"),
    expected("stiffness", "stiffness", "stiffness"),
    expected("ratio", "ratio", "second over first resonance"),
  ],
  files: { min: 1, max: 1 },
  reduce,
  predict,
  mismatches: [
    {
      key: "effective_length_m",
      high: "the jaws close behind their edge, or the clamp is soft: look at edge, pressure and what lies between",
      low: "glue or solder stiffens the root, or the length was measured from the wrong edge",
    },
    {
      key: "resonance_at_length_Hz",
      high: "strip stiffer or lighter than taken: thickness first, it counts to the first power",
      low: "clamp softer, strip longer or heavier than taken; swing and force tell which",
    },
    {
      key: "deflection_at_length_m",
      high: "d31 larger than the table's small-signal value (high field), or thinner layers",
      low: "one layer not driven, depoled ceramic, or thicker layers",
    },
    {
      key: "stiffness_at_length_N_m",
      high: "thicker or stiffer layers than taken",
      low: "soft clamp or glue, or thinner layers",
    },
    {
      key: "force_at_length_N",
      high: "d31 larger than the small-signal value, or a stiffer strip",
      low: "one layer not driven, depoled ceramic, or a soft clamp",
    },
  ],
};
