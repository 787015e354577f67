import { buildCircuit } from "../src/physics/pulse/circuit.ts";
import { huntFactor } from "../src/physics/pulse/contact.ts";
import { CLOSE } from "../src/physics/pulse/electricStep.ts";
import type { Hysteresis } from "../src/physics/pulse/hysteresis.ts";
import { STEP_RULES } from "../src/physics/pulse/layout.ts";
import type { PulseModel } from "../src/physics/pulse/model.ts";
import { padTable } from "../src/physics/pulse/padTable.ts";
import type { PulseState } from "../src/physics/pulse/state.ts";
import type { PulsePlan } from "../src/studies/pulsePlan.ts";

/** Codes of perf/pulse.c. */
const OUTPUT = {
  off: 0,
  high: 1,
  low: 2,
  "diode high": 3,
  "diode low": 4,
  wave: 5,
  limited: 6,
} as const;
const SUPPLY = { linear: 0, limited: 1, blocked: 2 } as const;

/** A number as C reads it. */
const spelled = (x: number) =>
  x === Number.POSITIVE_INFINITY ? "inf" : x === Number.NEGATIVE_INFINITY ? "-inf" : String(x);

const orNone = (x: number | null) => x ?? Number.POSITIVE_INFINITY;

/**
 * A plan and its state at the start as perf/pulse.c reads them: lines of a name, a count and the numbers.
 * RangeError for a model without drive or electrodes, or with a drawn waveform.
 */
export function rawPulse(plan: PulsePlan, state: PulseState): string {
  const { model } = plan.made;
  const { circuit, electrics, strip } = model;
  const { electric } = state;
  if (circuit === null || electrics === null || electric === null || circuit.spec.switch === null)
    throw new RangeError("the comparison needs a drive and electrodes");
  const rows: string[] = [];
  const put = (name: string, values: ArrayLike<number>) => {
    const numbers = Array.from(values, spelled);
    rows.push([name, numbers.length, ...numbers].join(" "));
  };
  put("omega", strip.omega);
  put("zeta", strip.zeta);
  put("gas_share", strip.gasShare);
  put("pad", strip.pad);
  put("jump", strip.jump);
  put("rest_moment", [strip.restMoment]);
  put("own", buildCircuit(circuit.spec).own);
  put("theta", electrics.theta);
  put(
    "parallel_capacitance",
    electrics.parallel.map((p) => p?.capacitance ?? 0),
  );
  put("scale", [electric.internal.scale]);
  put("renew", [STEP_RULES.RENEW]);
  put("close", [CLOSE]);
  put("incidence", electric.internal.incidence);
  put("inverse", electric.internal.inverse);
  driveRows(model, plan, put);
  seatRows(model, state, put);
  put("q", state.q);
  put("p", state.p);
  put("v", electric.v);
  put("q_layer", electric.q);
  put("q_parallel", electric.qParallel);
  put("r", electric.internal.r);
  put("r_parallel", electric.internal.rParallel);
  electric.series.forEach((h, k) => {
    put(`series_${k}`, branchNumbers(h));
  });
  electric.parallel.forEach((h, k) => {
    put(`parallel_${k}`, branchNumbers(h));
  });
  put("state", [
    state.moment,
    state.slope,
    state.y,
    state.force,
    state.contact,
    state.gasForce,
    state.flow,
    state.plenum,
    state.chamber,
    Number.isFinite(state.surface) ? state.surface : 0,
    state.hunt,
    Number(state.touching),
    Number(state.stuck),
    OUTPUT[electric.output],
    OUTPUT[electric.commanded],
  ]);
  put(
    "supplies",
    electric.supplies.map((s) => SUPPLY[s]),
  );
  put("supply_signs", electric.supplySigns);
  return `${rows.join("\n")}\n`;
}

type Put = (name: string, values: ArrayLike<number>) => void;

function driveRows({ circuit }: PulseModel, plan: PulsePlan, put: Put): void {
  const { spec, railNode, storageNode, output } = circuit as NonNullable<typeof circuit>;
  const { rails, switch: sw } = spec;
  put("rails", [rails.length]);
  rails.forEach((rail, r) => {
    put(`rail_${r}`, [
      rail.voltage,
      rail.outputResistance,
      orNone(rail.currentLimit),
      rail.storage,
      rail.storageEsr,
      orNone(rail.leakageResistance),
      orNone(rail.bleeder),
      Number(rail.sinks),
      railNode[r] as number,
      storageNode[r] as number,
    ]);
  });
  if (sw === null) return;
  const nodeOf = (rail: number) => (rail < 0 ? -1 : (railNode[rail] as number));
  put("switch", [
    output,
    nodeOf(sw.high),
    nodeOf(sw.low),
    sw.onResistance,
    sw.seriesHigh,
    sw.seriesLow,
    orNone(sw.currentMax),
  ]);
  put("step", [plan.step]);
  put("steps", [plan.steps]);
  put(
    "command_time",
    plan.commands.map((c) => c.time),
  );
  put(
    "command_state",
    plan.commands.map((c) => {
      if (c.state === "wave") throw new RangeError("the comparison has no drawn waveforms");
      return OUTPUT[c.state];
    }),
  );
}

function seatRows(model: PulseModel, state: PulseState, put: Put): void {
  const { seat, plenum, chamber } = model;
  put("has_seat", [Number(seat !== null)]);
  put("has_gas", [Number(state.gas !== null)]);
  put("has_chamber", [Number(chamber !== null)]);
  if (seat !== null) {
    const table = padTable(seat);
    put("seat", [
      huntFactor(seat.restitution),
      seat.stickForce,
      seat.stickStretch,
      seat.squeeze,
      seat.squeezeGap,
      seat.squeezeMax,
      table.depth,
    ]);
    put("pad_table", table.values);
  }
  if (state.gas !== null && plenum !== null) {
    const { gas } = state;
    put("gas", [gas.top, gas.closedForce, gas.plenumPressure, gas.downstreamRatio]);
    put("gas_force", gas.force);
    put("gas_flow", gas.flow);
    put("plenum", [
      orNone(plenum.volume),
      plenum.feedConductance ?? 0,
      plenum.gamma,
      plenum.specific,
      plenum.pressure,
    ]);
  }
  if (chamber !== null)
    put("chamber", [chamber.volume, chamber.pumpingSpeed, chamber.basePressure, chamber.specific]);
}

function branchNumbers(h: Hysteresis | null): number[] {
  if (h === null) return [];
  const out = [h.density, h.reach, h.q, h.v, h.direction, h.centreQ, h.centreV];
  for (let i = 0; i < h.count; i++) out.push(h.reversalQ[i] as number, h.reversalV[i] as number);
  return out;
}
