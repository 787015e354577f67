import type { Pascal } from "../units/aliases.ts";
import {
  COMPATIBILITY,
  type CompatibilityRule,
  FUEL_GASES,
  OXIDISER_GASES,
  TOXIC_GASES,
} from "./tables/compatibility.ts";
import { gasSymbol } from "./tables/gasSymbols.ts";

export interface CompatibilityFinding {
  id: string;
  severity: "block" | "warning";
  /** Symbols of the gases concerned. */
  gas: string;
  /** Materials as the user named them; null where the gas alone is the matter. */
  material: string | null;
  text: string;
  action: string;
  source: string;
}

/**
 * What does not go together: every component of the gas at its partial pressure against every
 * material in contact with it. `materials` are names as the user gives them; add "electroded
 * ceramic" for a strip in the gas, and the pad's and glue's names. A material matches a row whose
 * word stands in its name. One finding a row, naming every gas and material that it meets; of rows
 * on the same gas and materials a block replaces the warning.
 */
export function compatibilityFindings(
  components: readonly { name: string; fraction: number }[],
  pressure: Pascal,
  materials: readonly string[],
): CompatibilityFinding[] {
  const findings: CompatibilityFinding[] = [];
  const parts = components.map((part) => ({
    symbol: gasSymbol(part.name),
    partial: part.fraction * pressure,
  }));
  // Air is one part oxygen in five.
  const air = parts.filter((part) => part.symbol === "air");
  for (const part of air) parts.push({ symbol: "O2", partial: 0.2095 * part.partial });

  for (const rule of COMPATIBILITY) {
    const gases = parts.filter(
      ({ symbol, partial }) =>
        partial > 0 &&
        rule.gases.includes(symbol) &&
        partial >= rule.partialPressureMin &&
        !superseded(rule, symbol, partial),
    );
    const touched = materials.filter((material) => matches(rule, material));
    if (gases.length === 0 || (rule.materials.length > 0 && touched.length === 0)) continue;
    const { id, severity, text, action, source } = rule;
    findings.push({
      id,
      severity,
      gas: [...new Set(gases.map((part) => part.symbol))].join(" + "),
      material: rule.materials.length > 0 ? [...new Set(touched)].join(", ") : null,
      text,
      action,
      source,
    });
  }

  const present = parts.filter((part) => part.partial > 0).map((part) => part.symbol);
  const fuel = present.find((symbol) => FUEL_GASES.includes(symbol));
  const oxidiser = present.find((symbol) => OXIDISER_GASES.includes(symbol));
  if (fuel !== undefined && oxidiser !== undefined)
    findings.push({
      id: "fuel and oxidiser in one gas",
      severity: "block",
      gas: `${fuel} + ${oxidiser}`,
      material: null,
      text: `${fuel} and ${oxidiser} in one plenum with high voltage inside: the mixture can explode`,
      action: "do not mix them in the plenum; a qualified person decides",
      source: "common practice, no source",
    });
  else if (fuel !== undefined)
    findings.push({
      id: "flammable gas around high voltage",
      severity: "warning",
      gas: fuel,
      material: null,
      text: `${fuel} burns: high voltage inside the plenum is a spark source while air is in it`,
      action:
        "pump or purge the air out before filling and before switching on; the same on emptying",
      source: "common practice, no source",
    });
  for (const toxic of present.filter((symbol) => TOXIC_GASES.includes(symbol)))
    findings.push({
      id: "toxic gas",
      severity: "warning",
      gas: toxic,
      material: null,
      text: `${toxic} is toxic: leak, pump exhaust and venting reach the room`,
      action:
        "detector, extraction and exhaust treatment; check local rules and a qualified person",
      source: "common practice, no source",
    });
  return findings;
}

/** The oxygen warning is left out where the oxygen block applies. */
function superseded(rule: CompatibilityRule, symbol: string, partial: Pascal): boolean {
  return COMPATIBILITY.some(
    (other) =>
      other !== rule &&
      other.severity === "block" &&
      rule.severity === "warning" &&
      other.materials === rule.materials &&
      other.gases.includes(symbol) &&
      partial >= other.partialPressureMin,
  );
}

function matches(rule: CompatibilityRule, material: string): boolean {
  const name = material.toLowerCase();
  return rule.materials.some((word) => new RegExp(`(^|[^a-z])${word}($|[^a-z])`).test(name));
}
