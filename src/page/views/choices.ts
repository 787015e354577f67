import type { Parameter } from "../../design/parameter.ts";
import type { Path } from "../document/values.ts";
import type { PageState } from "../state.ts";

export interface Choices {
  values: readonly string[];
  /** Nothing else may stand there. */
  closed: boolean;
}

const GASES = ["He", "Ne", "Ar", "Kr", "Xe", "H2", "D2", "N2", "O2", "air", "CO2", "CH4", "SF6"];
const FLAG: Choices = { values: ["yes", "no"], closed: true };
const GAS: Choices = { values: GASES, closed: false };
const byParameter = new WeakMap<Parameter, Choices>();
let forFacts: { facts: object; made: Map<string, Choices> } | null = null;

/** What may be chosen at an input; null where any text of its kind may stand. */
export function choicesFor(path: Path, parameter: Parameter, state: PageState): Choices | null {
  if (parameter.kind === "flag") return FLAG;
  if (parameter.kind === "gas" || parameter.path === "chamber.pumping_speed_gas") return GAS;
  if (parameter.choices !== undefined) {
    let made = byParameter.get(parameter);
    if (made === undefined) {
      made = { values: parameter.choices, closed: true };
      byParameter.set(parameter, made);
    }
    return made;
  }
  const facts = state.answer?.facts;
  if (facts === undefined) return null;
  const what = parameter.path === "wiring.*" ? "wiring" : parameter.path;
  if (forFacts?.facts !== facts) forFacts = { facts, made: new Map() };
  const known = forFacts.made.get(what);
  if (known !== undefined) return known;
  const made = fromFacts(String(path[0]), what, facts);
  if (made !== null) forFacts.made.set(what, made);
  return made;
}

function fromFacts(
  section: string,
  what: string,
  { electrodes, rails, layerMaterials, padMaterials }: NonNullable<PageState["answer"]>["facts"],
): Choices | null {
  if (what === "wiring") return { values: ["ground", "switched", ...rails, "open"], closed: true };
  if (what === "switch.high" || what === "switch.low")
    return { values: ["ground", ...rails], closed: true };
  if (what === "pad.material") return { values: padMaterials, closed: false };
  if (what.endsWith(".material") && section === "strip")
    return { values: layerMaterials, closed: false };
  if (/\.(bottom|top|conductor)$/.test(what)) return { values: electrodes, closed: false };
  return null;
}
