import type { Design, Rail } from "../design/design.ts";
import type { PulseFigures, RailPulseFigures, Surprise } from "./pulseResult.ts";

/*
 * What rails do that surprises people, and the smallest change of one component that mends it. Each change is
 * found by running the same pulses again: the component is stepped up its E6 row until the rail stays within its
 * limit.
 */

/** Runs the same pulses with another design and gives their figures. */
export type Again = (design: Design) => readonly PulseFigures[];

/** E6 values of IEC 60063. */
const ROW = [1, 1.5, 2.2, 3.3, 4.7, 6.8];
/** Values tried before giving up. */
const TRIES = 14;
/** Of the rail's limit: how far from its set voltage a rail may stand when the next edge comes. */
const BACK = 0.5;

/** The next value of the row that is above `value` by at least a tenth. */
export function nextOfRow(value: number): number {
  const decade = 10 ** Math.floor(Math.log10(value) + 1e-9);
  for (const step of [...ROW, 10]) if (step * decade > 1.1 * value) return step * decade;
  return 15 * decade;
}

const sign = (rail: RailPulseFigures) => (rail.set_V < 0 ? -1 : 1);
/** Beyond the set voltage, and below it, in the rail's own direction. */
const lifted = (rail: RailPulseFigures) => sign(rail) * (rail.lifted_V - rail.set_V);
const sagged = (rail: RailPulseFigures) => sign(rail) * (rail.set_V - rail.sagged_V);
const missing = (rail: RailPulseFigures) => sign(rail) * (rail.set_V - rail.end_V);

const worst = (
  pulses: readonly PulseFigures[],
  name: string,
  of: (r: RailPulseFigures) => number,
) =>
  Math.max(
    0,
    ...pulses.flatMap((p) => p.electric.rails.filter((rail) => rail.name === name).map(of)),
  );

const volts = (x: number) => `${Number(x.toPrecision(3))} V`;

/** Surprises of the rails in a run, with what mends each. */
export function railSurprises(
  design: Design,
  pulses: readonly PulseFigures[],
  again: Again,
): Surprise[] {
  const out: Surprise[] = [];
  for (const [name, rail] of Object.entries(design.rails)) {
    const limit = design.limits.railDroopMax * Math.abs(rail.voltage);
    const lift = worst(pulses, name, lifted);
    const sag = worst(pulses, name, sagged);
    const left = worst(pulses.slice(-1), name, missing);
    if (!rail.sinks && lift > limit)
      out.push({
        id: "lifted rail",
        rail: name,
        text: `the supply of rail ${name} can't take charge back: the strip lifts it by ${volts(lift)}, to ${volts(Math.abs(rail.voltage) + lift)}; the opposite edge takes it back`,
        mend: mendLift(design, name, rail, limit, again),
      });
    if (sag > limit)
      out.push({
        id: "sagging rail",
        rail: name,
        text: `rail ${name} sags by up to ${volts(sag)}`,
        mend: mendSag(design, name, rail, limit, again),
      });
    if (pulses.length > 0 && left > BACK * limit && left > 1e-6 * Math.abs(rail.voltage))
      out.push({
        id: "rail not back",
        rail: name,
        text: `rail ${name} is still ${volts(left)} short of its set voltage when the run ends: the supply does not refill it in time`,
        mend: mendRefill(design, name, rail, BACK * limit, again),
      });
  }
  return out;
}

function withRail(design: Design, name: string, change: Partial<Rail>): Design {
  const rail = design.rails[name] as Rail;
  return { ...design, rails: { ...design.rails, [name]: { ...rail, ...change } } };
}

/** First of rising values at which the figure keeps its limit; null: none of those tried. */
function smallest(
  from: number,
  change: (value: number) => Design,
  figure: (pulses: readonly PulseFigures[]) => number,
  limit: number,
  again: Again,
): number | null {
  let value = from;
  for (let i = 0; i < TRIES; i++) {
    value = nextOfRow(value);
    if (figure(again(change(value))) <= limit) return value;
  }
  return null;
}

const micro = (farad: number) =>
  farad >= 1e-6
    ? `${Number((farad * 1e6).toPrecision(3))} µF`
    : `${Number((farad * 1e9).toPrecision(3))} nF`;

function mendLift(design: Design, name: string, rail: Rail, limit: number, again: Again) {
  const figure = (pulses: readonly PulseFigures[]) => worst(pulses, name, lifted);
  const storage = smallest(
    rail.storage ?? 1e-9,
    (value) => withRail(design, name, { storage: value }),
    figure,
    limit,
    again,
  );
  const sinks = figure(again(withRail(design, name, { sinks: true }))) <= limit;
  const ways = [
    ...(storage === null ? [] : [`storage of ${micro(storage)}`]),
    ...(sinks ? ["a supply that sinks"] : []),
  ];
  return ways.length === 0 ? null : ways.join(", or ");
}

function mendSag(design: Design, name: string, rail: Rail, limit: number, again: Again) {
  const figure = (pulses: readonly PulseFigures[]) => worst(pulses, name, sagged);
  const storage = smallest(
    rail.storage ?? 1e-9,
    (value) => withRail(design, name, { storage: value }),
    figure,
    limit,
    again,
  );
  if (storage !== null) return `storage of ${micro(storage)}`;
  return mendRefill(design, name, rail, limit, again, figure);
}

function mendRefill(
  design: Design,
  name: string,
  rail: Rail,
  limit: number,
  again: Again,
  figure = (pulses: readonly PulseFigures[]) => worst(pulses.slice(-1), name, missing),
) {
  if (rail.currentLimit !== null) {
    const current = smallest(
      rail.currentLimit,
      (value) => withRail(design, name, { currentLimit: value }),
      figure,
      limit,
      again,
    );
    if (current !== null) return `a supply of ${Number((current * 1e3).toPrecision(3))} mA`;
  }
  if (rail.outputResistance > 0) {
    let resistance = rail.outputResistance;
    for (let i = 0; i < TRIES; i++) {
      resistance /= 2;
      if (figure(again(withRail(design, name, { outputResistance: resistance }))) <= limit)
        return `${Number(resistance.toPrecision(2))} Ω between supply and storage`;
    }
  }
  return null;
}
