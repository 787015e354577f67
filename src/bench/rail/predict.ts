import type { Design } from "../../design/design.ts";
import { checkDesign } from "../../sheet/check.ts";
import type { Data, Prediction, Settings } from "../kind.ts";
import { railOf } from "./rail.ts";

/** Sheet figures for the rail that is meant. */
export function predictRail(
  design: Design,
  _data: readonly Data[],
  settings: Settings,
): Prediction[] {
  const found = railOf(design, settings);
  if (found === null) return [];
  const { name, rail } = found;
  const { result } = checkDesign(design, { waysOut: false });
  const row = result.drive?.rails.find((r) => r.name === name) as
    | (Record<string, number | null | undefined> & { name: string })
    | undefined;
  if (row === undefined) return [];
  const out: Prediction[] = [];
  const add = (key: string, value: number | null | undefined, u: number, from: string) => {
    if (value !== null && value !== undefined) out.push({ key, value, u, from, of: "design" });
  };
  const droop = row.droop_V as number | null;
  const u = (row.u_droop_V as number | undefined) ?? 0;
  add("droop_per_edge_V", droop, u, `sheet: drive.rails, ${name}: droop_V`);
  if (droop !== null && rail.storage !== null)
    add(
      "charge_per_edge_C",
      droop * rail.storage,
      u * rail.storage,
      `sheet: drive.rails, ${name}: droop_V times its storage`,
    );
  if (rail.outputResistance > 0) {
    const input = design.inputs.find(({ key }) => key === `rails.${name}.output_resistance`);
    add(
      "source_resistance_ohm",
      rail.outputResistance,
      input?.u ?? 0,
      `design: rails.${name}.output_resistance`,
    );
  }
  return out;
}
