import { type GasMixture, gasNamed, mixGases } from "../physics/gases.ts";
import type { ProblemData } from "./problem.ts";
import { type GroupValue, valueAt } from "./tree.ts";

function named(name: string): GasMixture | null {
  try {
    return gasNamed(name);
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** Gases of the file that no table knows. */
export function checkGas(root: GroupValue): ProblemData[] {
  const gas = valueAt(root, "need", "gas");
  if (gas?.type !== "gas") return [];
  return gas.parts
    .filter((part) => named(part.name) === null)
    .map(({ place }): ProblemData => {
      const { path, line, column, found } = place;
      return { code: "unknown-gas", path, line, column, found, severity: "error", data: {} };
    });
}

/** The working gas; null where the design has none. */
export function gasOf(root: GroupValue): GasMixture | null {
  const gas = valueAt(root, "need", "gas");
  if (gas?.type !== "gas") return null;
  const [first] = gas.parts;
  if (first !== undefined && first.fraction === null) return gasNamed(first.name);
  return mixGases(
    gas.parts.map(({ name, fraction }) => ({ name, fraction: fraction?.value ?? 0 })),
  );
}
