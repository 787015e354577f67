import type { Joule } from "../../units/aliases.ts";
import { hysteresisEnergies, storedElectric } from "./electricLayers.ts";
import { settleBooks } from "./kernel.ts";
import type { PulseModel } from "./model.ts";
import type { PulseState } from "./state.ts";

/*
 * Energy audit: what came in, what is stored, what was lost, each from its own quadrature inside the run;
 * the residual is what the numbers leave open. Over (losses + |stored change|) it is the audit's measure.
 */

export interface AuditRow {
  what: string;
  kind: "in" | "stored" | "lost";
  energy: Joule;
}

export interface Audit {
  rows: AuditRow[];
  in: Joule;
  lost: Joule;
  storedChange: Joule;
  residual: Joule;
  /** |residual| over losses and |stored change|; 0 where nothing happened. */
  relative: number;
}

/** Energies at one moment; an audit is the difference of two. */
export interface AuditPoint {
  in: Map<string, Joule>;
  lost: Map<string, Joule>;
  stored: Map<string, Joule>;
}

export function auditPoint(model: PulseModel, state: PulseState): AuditPoint {
  settleBooks(state);
  const incoming = new Map<string, Joule>();
  const lost = new Map<string, Joule>();
  const stored = new Map<string, Joule>();
  const { electric, energy } = state;
  if (electric !== null) {
    for (const [account, value] of electric.accounts)
      if (account.startsWith("in: ")) incoming.set(account.slice(4), value);
      else lost.set(account, value);
    const { work, dissipated } = hysteresisEnergies(electric);
    lost.set("ceramic hysteresis", dissipated);
    stored.set("hysteretic branches", work - dissipated);
    stored.set("capacitances", storedElectric(electric, state.slope));
  }
  const { strip } = model;
  let kinetic = 0;
  let elastic = -strip.restMoment * state.slope;
  for (let i = 0; i < strip.count; i++) {
    kinetic += 0.5 * state.p[i]! * state.p[i]!;
    elastic += 0.5 * (strip.omega[i]! * state.q[i]!) ** 2;
  }
  stored.set("strip, moving", kinetic);
  stored.set("strip, bent", elastic);
  lost.set("strip damping", energy.structural);
  if (energy.gasDamping !== 0) lost.set("gas around the strip", energy.gasDamping);
  if (model.seat !== null) {
    incoming.set("gas on the pad", energy.gasIn);
    lost.set("pad", energy.contactLoss);
    lost.set("film at the seat", energy.film);
    if (model.seat.stickForce > 0) lost.set("sticking", energy.stick);
    stored.set("pad, pressed", padEnergy(model, state));
  }
  return { in: incoming, lost, stored };
}

/** ∫F dδ of the pad's spring, Simpson. */
function padEnergy(model: PulseModel, state: PulseState): Joule {
  const seat = model.seat!;
  const depth = Math.max(0, state.surface - state.y);
  if (depth === 0) return 0;
  const parts = 64;
  let sum = seat.pad.force(depth);
  for (let i = 1; i < parts; i++)
    sum += (i % 2 === 1 ? 4 : 2) * seat.pad.force((depth * i) / parts);
  return (seat.dynamicFactor * sum * depth) / (3 * parts);
}

export function auditBetween(from: AuditPoint, to: AuditPoint): Audit {
  const rows: AuditRow[] = [];
  const add = (kind: AuditRow["kind"], a: Map<string, Joule>, b: Map<string, Joule>) => {
    let sum = 0;
    for (const what of new Set([...a.keys(), ...b.keys()])) {
      const energy = (b.get(what) ?? 0) - (a.get(what) ?? 0);
      rows.push({ what, kind, energy });
      sum += energy;
    }
    return sum;
  };
  const incoming = add("in", from.in, to.in);
  const storedChange = add("stored", from.stored, to.stored);
  const lost = add("lost", from.lost, to.lost);
  const residual = incoming - storedChange - lost;
  const scale = Math.abs(lost) + Math.abs(storedChange);
  return {
    rows,
    in: incoming,
    lost,
    storedChange,
    residual,
    relative: scale > 0 ? Math.abs(residual) / scale : 0,
  };
}
