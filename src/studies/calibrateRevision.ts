import type { Design } from "../design/design.ts";
import { type Edit, editDesign } from "../design/edit.ts";
import { parameterAt } from "../design/parameters.ts";
import { designSection } from "../sheet/stripModel.ts";
import { formatQuantity, type QuantityKind } from "../units/index.ts";
import {
  type CalibrationParameter,
  COMPLIANCE_KEY,
  calibratedDesign,
} from "./calibrateParameters.ts";
import type { CalibrationResult } from "./calibrateResult.ts";

/** A file that a calibration was made from. */
export interface Origin {
  name: string;
  sha256: string;
}

export interface Revision {
  text: string;
  /** Numbers that were set: key, what stood there, what stands there now. */
  changes: readonly { key: string; before: string; after: string }[];
}

/** Begins the line of a revision that names a file of data. */
const MARK = "#   data: ";
/** Stands for the file's own figures among the data. */
export const OWN_SECTION = "measured of this design";

/**
 * The text of the design with its calibrated numbers, each with its uncertainty, comments and order kept; at its top
 * what changed and where that comes from.
 * @throws RangeError where a number has no place in the text
 */
export function revisedDesign(
  text: string,
  design: Design,
  parameters: readonly CalibrationParameter[],
  result: CalibrationResult,
  origins: { design: Origin; data: readonly Origin[]; covariance: string },
): Revision {
  const changes: { key: string; before: string; after: string }[] = [];
  let out = text;
  const set = (path: readonly (string | number)[], key: string, before: string, after: string) => {
    const edit: Edit = { kind: "set", path, value: after };
    const edited = editDesign(out, edit);
    if (!edited.ok) throw new RangeError(edited.reason);
    out = edited.text;
    changes.push({ key, before, after });
  };
  for (const found of result.parameters) {
    const parameter = parameters.find(({ key }) => key === found.key);
    if (parameter === undefined) continue;
    if (parameter.key === COMPLIANCE_KEY && parameter.input === null) {
      setClamp(design, found, set);
      continue;
    }
    const kind = parameter.kind as QuantityKind;
    set(
      pathOf(parameter),
      parameter.key,
      written(
        found.before,
        parameter.prior === "assumed"
          ? (parameter.input?.u ?? 0) / parameter.scale
          : found.u_before,
        kind,
      ),
      written(found.after, found.u_after, kind),
    );
  }
  for (const moved of glued(design, parameters, result))
    set(moved.path, moved.key, moved.before, moved.after);
  return { text: headed(out, changes, origins), changes };
}

const written = (value: number, u: number, kind: QuantityKind) =>
  formatQuantity(value, u, kind, u > 0 ? {} : { digits: 6 }).replaceAll("\u2212", "-");

/** A number of a material stands under the material's name, whatever dots that has. */
function pathOf({ key, input }: CalibrationParameter): (string | number)[] {
  const last = key.slice(key.lastIndexOf(".") + 1);
  if (key.startsWith("materials.")) return ["materials", String(input?.path[1]), last];
  if (key.startsWith("rails.")) return ["rails", String(input?.path[1]), last];
  return key.split(".").map((part) => (/^\d+$/.test(part) ? Number(part) : part));
}

function setClamp(
  design: Design,
  found: CalibrationResult["parameters"][number],
  set: (path: readonly string[], key: string, before: string, after: string) => void,
): void {
  if (!(found.after > 0)) return;
  const kind = parameterAt(["clamp", "rotational_stiffness"])?.quantity as QuantityKind;
  const stiffness =
    designSection(design).bendingStiffness / (found.after * design.strip.freeLength);
  const u = (stiffness * found.u_after) / found.after;
  set(["clamp", "rotational_stiffness"], COMPLIANCE_KEY, "rigid", written(stiffness, u, kind));
}

/** Places from the clamp of what is glued to a strip whose length changed: they keep their distance from the tip. */
function glued(
  design: Design,
  parameters: readonly CalibrationParameter[],
  result: CalibrationResult,
) {
  const values = parameters.map(
    ({ key, value }) => result.parameters.find((each) => each.key === key)?.after ?? value,
  );
  const after = calibratedDesign(design, parameters, values);
  const out: { path: (string | number)[]; key: string; before: string; after: string }[] = [];
  const moved = (path: (string | number)[], from: number | undefined, to: number | undefined) => {
    if (from === undefined || to === undefined || from === to) return;
    const key = path.join(".");
    const u = design.inputs.find((input) => input.key === key)?.u ?? 0;
    out.push({ path, key, before: written(from, u, "length"), after: written(to, u, "length") });
  };
  if (design.pad !== undefined && design.pad.fromTip === null)
    moved(["pad", "position"], design.pad.position, after.pad?.position);
  design.masses.forEach((mass, i) => {
    if (mass.fromTip === null)
      moved(["masses", i, "position"], mass.position, after.masses[i]?.position);
  });
  return out;
}

function headed(
  text: string,
  changes: Revision["changes"],
  { design, data, covariance }: { design: Origin; data: readonly Origin[]; covariance: string },
): string {
  const lines = [
    `# Calibrated from ${design.name} (sha256 ${design.sha256})`,
    ...data.map(({ name, sha256 }) => `${MARK}${name} (sha256 ${sha256})`),
    ...changes.map(({ key, before, after }) => `#   ${key}: ${before} -> ${after}`),
    `# These numbers are correlated: ${covariance}`,
    "",
  ];
  return `${lines.join("\n")}${text}`;
}

/** Files of data that the text of a design says it was calibrated with already. */
export function countedAlready(text: string, data: readonly Origin[]): Origin[] {
  const marks = text.split("\n").filter((line) => line.startsWith(MARK));
  return data.filter(({ sha256 }) => marks.some((line) => line.includes(sha256)));
}

/** Whether the text of a design says that this number of it was calibrated. */
export function calibratedBefore(text: string, key: string): boolean {
  return text.split("\n").some((line) => line.startsWith(`#   ${key}: `));
}

/** "valve.r2.reed.yaml" for "valve.reed.yaml", "valve.r3.reed.yaml" for that. */
export function nextName(name: string): string {
  const match = /^(.*?)(?:\.r(\d+))?((?:\.reed)?\.(?:ya?ml|json))$/.exec(name);
  if (match === null) return `${name}.r2.reed.yaml`;
  const [, stem = "", number = "1", ending = ""] = match;
  return `${stem}.r${Number(number) + 1}${ending}`;
}
