import { formatQuantity } from "../../units/index.ts";
import type { Given } from "../kind.ts";
import type { Warning } from "../reduction.ts";
import { characteristic } from "./characteristic.ts";
import { freeCapacitance } from "./circuit.ts";
import type { CircuitFit, Sweep } from "./circuitFit.ts";

/** What is common practice, no source: widths beyond f_s and f_p, points within a width, volts of a small signal. */
const WIDTHS_BEYOND = 2;
const POINTS_A_WIDTH = 4;
const SMALL_SIGNAL = 1;
/** Share of |Z| that the leads' inductance may take. */
const LEADS = 0.01;

const hertz = (value: number) => formatQuantity(value, 0, "frequency", { digits: 4 });

export function sweepWarnings(
  sweep: Sweep,
  fit: CircuitFit,
  drive: Given | null,
  leads: Given | null,
): Warning[] {
  const { circuit } = fit;
  const out: Warning[] = [];
  const say = (key: string, text: string) => out.push({ key, text });
  if (circuit.branches.length === 0)
    say(
      "no-resonance",
      "No resonance stands out of the scatter: capacitance and tan δ only. Sweep about the expected first resonance with finer points.",
    );
  circuit.branches.forEach((branch, k) => {
    const which = circuit.branches.length === 1 ? "The resonance" : `Resonance ${k + 1}`;
    const width = branch.fs / branch.q;
    const x = characteristic(circuit, k);
    if (
      sweep.f[0]! > branch.fs - WIDTHS_BEYOND * width ||
      sweep.f[sweep.f.length - 1]! < Math.max(x.fp, branch.fs) + WIDTHS_BEYOND * width
    )
      say(
        "fit-window-narrow",
        `${which} at ${hertz(branch.fs)} is ${hertz(width)} wide, and the points do not go ${WIDTHS_BEYOND} widths beyond f_s and f_p: C0, Q and coupling lean on the model's far sides. Sweep wider.`,
      );
    let inside = 0;
    for (const f of sweep.f) if (Math.abs(f - branch.fs) <= width / 2) inside++;
    if (inside < POINTS_A_WIDTH)
      say(
        "points-coarse",
        `${which} at ${hertz(branch.fs)} has ${inside} points within its width of ${hertz(width)}; at least ${POINTS_A_WIDTH} are needed for its Q. Sweep it again in steps of ${hertz(width / 8)} or finer.`,
      );
    if (x.figureOfMerit < 2)
      say(
        "figure-of-merit",
        `${which} has a figure of merit of ${x.figureOfMerit.toFixed(2)}: below 2 the phase never comes to zero, so that f_r and f_a do not exist, and f_m, f_n lie far from f_s, f_p. Go by the fit.`,
      );
  });
  if (drive !== null && Math.abs(drive.value) > SMALL_SIGNAL)
    say(
      "drive-level",
      `The meter drives the strip with ${formatQuantity(drive.value, 0, "voltage", { digits: 3 })}: above ${SMALL_SIGNAL} V the ceramic is no longer linear (resonance falls, loss rises). Repeat at half the drive; the resonance must not move.`,
    );
  const skew = skewed(sweep, fit);
  if (skew !== null) say("not-the-model", skew);
  const top = sweep.f[sweep.f.length - 1]!;
  const share = (2 * Math.PI * top) ** 2 * (leads?.value ?? 0) * freeCapacitance(circuit);
  if (share > LEADS)
    say(
      "lead-inductance",
      `At ${hertz(top)} the leads' inductance takes ${(100 * share).toPrecision(2)} % of the strip's reactance: capacitance reads too large there. Shorten the leads, or correct open and short at the fixture.`,
    );
  return out;
}

/** Residuals below this are rounding of the file. */
const NEGLIGIBLE = 1e-6;

/**
 * Whether the residuals hang together from point to point more than chance lets them: the sum of products of
 * neighbours over the sum of squares, whose standard deviation is 1/√n for independent ones.
 */
function skewed(sweep: Sweep, { result, circuit }: CircuitFit): string | null {
  const n = sweep.f.length;
  const size = Math.sqrt(result.chiSquared / result.residuals.length);
  if (n < 30 || size < NEGLIGIBLE) return null;
  let neighbours = 0;
  for (let i = 2; i < result.residuals.length; i++)
    neighbours += result.residuals[i]! * result.residuals[i - 2]!;
  const r = neighbours / result.chiSquared;
  if (!(r > 6 / Math.sqrt(result.residuals.length))) return null;
  return `The residuals hang together from point to point (correlation ${r.toFixed(2)}, size ${(100 * size).toPrecision(2)} %): the circuit does not describe all of it, and the uncertainties are too small. ${circuit.branches.length === 0 ? "Capacitance that falls with frequency does this." : "A neighbouring resonance, capacitance that falls with frequency over a wide sweep, or too large a drive do this; narrow the window or allow more branches."}`;
}
