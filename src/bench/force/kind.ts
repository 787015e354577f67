import type { Design } from "../../design/design.ts";
import { buildElectrical } from "../../sheet/electrical.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import { buildStrip } from "../../sheet/stripModel.ts";
import { fromModel, fromSheet } from "../fromDesign.ts";
import type { Data, Kind, Prediction, Settings } from "../kind.ts";
import { optional, word } from "../settings.ts";
import { reduceForce } from "./reduce.ts";

function predict(
  design: Design,
  _data: readonly Data[],
  settings: Settings,
): readonly Prediction[] {
  const place = word(settings, "place") === "tip" ? "tip" : "pad";
  const figures = (d: Design): readonly number[] | null => {
    const { strip } = evaluate(d, { detail: false, marginsOnly: true });
    const force = place === "tip" ? strip.blocking_force_at_tip_N : strip.blocking_force_at_pad_N;
    const swing = place === "tip" ? strip.swing_at_tip_m : strip.swing_at_pad_m;
    const electrical = buildElectrical(d, buildStrip(d));
    if (electrical === null || force === null || swing === null) return null;
    const step = Math.abs(electrical.outputHigh - electrical.outputLow);
    return [force / step, swing / step];
  };
  const from = `sheet: strip.blocking_force_at_${place}_N and swing over the switched voltage`;
  const perVolt = fromModel(
    design,
    ["force_per_volt_N_V", "deflection_per_volt_m_V"],
    from,
    figures,
  );
  const swing = optional(settings, "swing-voltage")?.value ?? null;
  const scaled = (key: string, of: string): Prediction[] =>
    perVolt
      .filter((p) => swing !== null && p.key === of)
      .map((p) => ({ ...p, key, value: p.value * swing!, u: p.u * swing! }));
  return [
    ...fromSheet(design, "stiffness_N_m", `strip.${place}_stiffness_N_m`),
    ...perVolt,
    ...scaled("blocking_force_N", "force_per_volt_N_V"),
    ...scaled("free_deflection_m", "deflection_per_volt_m_V"),
  ];
}

/** Force of the strip against a balance or load cell. */
export const FORCE: Kind = {
  name: "force",
  summary:
    "force on a balance or load cell against travel or voltage: stiffness, blocking force, free deflection, loop",
  roles: [
    {
      key: "force",
      kinds: ["force", "mass"],
      summary: "load cell's force, or balance's reading as a mass",
      required: true,
      words: ["force", "load", "balance", "mass", "weight"],
    },
    {
      key: "travel",
      kinds: ["length"],
      summary: "travel of the stage that presses strip and balance together",
      required: false,
      words: ["travel", "position", "stage", "deflection", "z"],
    },
    {
      key: "voltage",
      kinds: ["voltage"],
      summary: "voltage on the strip",
      required: false,
      words: ["voltage", "volt", "u", "v"],
    },
  ],
  settings: [
    {
      key: "place",
      kind: null,
      summary: "where the force acts",
      required: false,
      standard: "pad",
      choices: ["pad", "tip"],
    },
    {
      key: "swing-voltage",
      kind: "voltage",
      summary: "voltage between the two states, for blocking force and free deflection",
      required: false,
      standard: null,
    },
    {
      key: "balance-compliance",
      kind: "compliance",
      summary: "how far balance and holder give way per force; stiff without it",
      required: false,
      standard: null,
    },
    {
      key: "strip-stiffness",
      kind: "stiffness",
      summary: "stiffness of the strip, where the travel is fixed; from the design without it",
      required: false,
      standard: null,
    },
    {
      key: "fit-from",
      kind: "force",
      summary: "force over the reading before contact below which points in contact are left out",
      required: false,
      standard: null,
    },
    {
      key: "force-scale",
      kind: "ratio",
      summary: "what readings are to be multiplied by, with its uncertainty",
      required: false,
      standard: "1",
    },
    {
      key: "gravity",
      kind: "acceleration",
      summary: "local gravity, where readings are masses",
      required: false,
      standard: "9.81(2) m/s²",
    },
  ],
  files: { min: 1, max: 1 },
  reduce: ([data], settings, design) => reduceForce(data!, settings, design),
  predict,
  mismatches: [
    {
      key: "stiffness_N_m",
      high: "layers thicker or stiffer than taken, or the push rod acts nearer to the clamp",
      low: "soft clamp or glue, a give of the balance that was not taken out, or the push rod acts further out",
    },
    {
      key: "force_per_volt_N_V",
      high: "d31 at this field is larger than the small-signal value of the table",
      low: "one layer is not driven or depoled, or balance or clamp give way",
    },
    {
      key: "blocking_force_N",
      high: "d31 at this field is larger than the small-signal value of the table",
      low: "one layer is not driven or depoled, or balance or clamp give way",
    },
    {
      key: "deflection_per_volt_m_V",
      high: "d31 at this field is larger than the table's, or the strip is longer than drawn; the stiffness tells which",
      low: "one layer is not driven or depoled, or the layers are thicker than drawn",
    },
    {
      key: "free_deflection_m",
      high: "d31 at this field is larger than the table's, or the strip is longer than drawn; the stiffness tells which",
      low: "one layer is not driven or depoled, or the layers are thicker than drawn",
    },
  ],
};
