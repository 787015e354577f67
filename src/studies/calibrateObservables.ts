import type { Design } from "../design/design.ts";
import { withFreeLength, withValues } from "../design/values.ts";
import { rayleighStatics } from "../physics/ceramic.ts";
import { buildElectrical, type ElectricalModel, workingFields } from "../sheet/electrical.ts";
import { evaluate } from "../sheet/evaluate.ts";
import { figurePlaces } from "../sheet/flatten.ts";
import { modeFigures } from "../sheet/modeSheet.ts";
import type { ModeFigures, SheetResult } from "../sheet/result.ts";
import { buildStrip, ceramicOf, type StripModel } from "../sheet/stripModel.ts";
import type { QuantityKind } from "../units/index.ts";
import type { Conditions } from "./calibrateMeasured.ts";

/*
 * What a bench measures, as the model of the check sheet gives it. The capacitance belongs to the electrodes as cut,
 * whatever length the strip is found to bend at; everything else follows the effective length.
 */

/** A design under the conditions of a measurement. */
export interface Scene {
  design: Design;
  /** The design with its length as stated. */
  stated: Design;
  conditions: Conditions;
  strip: StripModel;
  electrical: ElectricalModel | null;
  /** Resonances of the free strip; those on the seat are in the sheet. */
  modes(): ModeFigures;
  sheet(): SheetResult;
}

export interface Observable {
  /** The unit stands at its end. */
  key: string;
  /** Words that name it in a file of measured values, first the one that tables show. */
  names: readonly string[];
  kind: QuantityKind | null;
  /** Conditions that it depends on; others have no influence. */
  asks: readonly (keyof Conditions)[];
  of(scene: Scene): number | null;
}

const resonances = ({ modes, conditions }: Scene): readonly number[] => {
  const free = modes();
  if (conditions.leads === "open") return free.open_circuit_vacuum_Hz;
  if (conditions.in === "vacuum") return free.open_vacuum_Hz;
  return conditions.in === "air" ? free.open_air_Hz : free.open_gas_Hz;
};

/** Leads open in a gas: as far above leads held as it is in vacuum. */
function resonance(scene: Scene, mode: number): number | null {
  const found = resonances(scene)[mode] ?? null;
  if (found === null || scene.conditions.leads === "held" || scene.conditions.in === "vacuum")
    return found;
  const { open_vacuum_Hz: vacuum } = scene.modes();
  const held = resonances({ ...scene, conditions: { ...scene.conditions, leads: "held" } })[mode];
  return held === undefined ? null : (found * held) / vacuum[mode]!;
}

/** Moment per volt of the output times the share of travel, with the field's growth where it is asked for. */
function momentPerVolt({ design, strip, electrical, conditions }: Scene): number | null {
  if (electrical === null) return null;
  const step = electrical.outputHigh - electrical.outputLow;
  const [high = 0, low = 0] = electrical.moments;
  if (step === 0 || high === low) return null;
  const share = conditions.counted === "one side" ? 0.5 : 1;
  return Math.abs((high - low) / step) * share * growth(design, strip, electrical, conditions);
}

/** Rayleigh growth of the deflection at the field of the measurement, averaged over the driven layers. */
function growth(
  design: Design,
  strip: StripModel,
  electrical: ElectricalModel,
  { ceramic, voltage }: Conditions,
): number {
  if (ceramic === "linear") return 1;
  const step = Math.abs(electrical.outputHigh - electrical.outputLow);
  const part = voltage === null || step === 0 ? 1 : voltage / step;
  const fields = workingFields(electrical);
  let sum = 0;
  let weight = 0;
  electrical.model.layers.forEach((layer, k) => {
    const { rayleighRatio } = ceramicOf(design, strip.layerNames[layer.index] as string);
    const field = Math.max(0, fields[k] as number) * part;
    sum += Math.abs(layer.theta) * rayleighStatics(1, rayleighRatio, field).largeSignal;
    weight += Math.abs(layer.theta);
  });
  return weight > 0 ? sum / weight : 1;
}

function deflectionPerVolt(scene: Scene): number | null {
  const moment = momentPerVolt(scene);
  const { strip, conditions } = scene;
  const perMoment = conditions.at === "pad" ? strip.padPerMoment : strip.tipPerMoment;
  return moment === null ? null : moment * perMoment;
}

const stiffness = ({ strip, conditions }: Scene) =>
  conditions.at === "pad" ? strip.padStiffness : strip.tipStiffness;

/** Volts of the measurement: its own, or the switch's. */
function volts({ electrical, conditions }: Scene): number | null {
  if (conditions.voltage !== null) return Math.abs(conditions.voltage);
  return electrical === null ? null : Math.abs(electrical.outputHigh - electrical.outputLow);
}

const times = (a: number | null, b: number | null) => (a === null || b === null ? null : a * b);

const DRIVEN = ["at", "counted", "voltage", "ceramic"] as const;

export const OBSERVABLES: readonly Observable[] = [
  {
    key: "first_resonance_Hz",
    names: ["first resonance", "f1"],
    kind: "frequency",
    asks: ["in", "leads"],
    of: (scene) => resonance(scene, 0),
  },
  {
    key: "second_resonance_Hz",
    names: ["second resonance", "f2"],
    kind: "frequency",
    asks: ["in", "leads"],
    of: (scene) => resonance(scene, 1),
  },
  {
    key: "resonance_ratio",
    names: ["second over first resonance"],
    kind: "ratio",
    asks: ["in", "leads"],
    of: (scene) => {
      const first = resonance(scene, 0);
      const second = resonance(scene, 1);
      return first === null || second === null ? null : second / first;
    },
  },
  {
    key: "touching_resonance_Hz",
    names: ["first resonance on the seat"],
    kind: "frequency",
    asks: [],
    of: ({ sheet }) => sheet().modes.closed_Hz[0] ?? null,
  },
  {
    key: "quality_factor",
    names: ["quality factor", "Q"],
    kind: "ratio",
    asks: ["in"],
    of: ({ modes, conditions }) => {
      const { q_vacuum, q_air, q_gas } = modes();
      const list = conditions.in === "vacuum" ? q_vacuum : conditions.in === "air" ? q_air : q_gas;
      return list[0] ?? null;
    },
  },
  {
    key: "swing_m",
    names: ["swing", "deflection"],
    kind: "length",
    asks: DRIVEN,
    of: (scene) => times(deflectionPerVolt(scene), volts(scene)),
  },
  {
    key: "lift_per_volt_m_V",
    names: ["lift per volt", "deflection per volt"],
    kind: null,
    asks: DRIVEN,
    of: deflectionPerVolt,
  },
  {
    key: "blocking_force_N",
    names: ["blocking force"],
    kind: "force",
    asks: DRIVEN,
    of: (scene) => times(times(deflectionPerVolt(scene), volts(scene)), stiffness(scene)),
  },
  {
    key: "force_per_volt_N_V",
    names: ["blocking force per volt"],
    kind: null,
    asks: DRIVEN,
    of: (scene) => times(deflectionPerVolt(scene), stiffness(scene)),
  },
  {
    key: "stiffness_N_m",
    names: ["stiffness"],
    kind: "stiffness",
    asks: ["at"],
    of: stiffness,
  },
  {
    key: "capacitance_F",
    names: ["capacitance"],
    kind: "capacitance",
    asks: [],
    of: ({ stated }) => buildElectrical(stated, buildStrip(stated))?.switchedCapacitance ?? null,
  },
  {
    key: "tan_delta",
    names: ["tan delta", "tan δ"],
    kind: "ratio",
    asks: [],
    of: ({ design, strip }) => {
      const index = strip.section.active[0];
      return index === undefined
        ? null
        : ceramicOf(design, strip.layerNames[index] as string).tanDelta;
    },
  },
  {
    key: "coupling",
    names: ["effective coupling", "k_eff"],
    kind: "ratio",
    asks: [],
    of: ({ modes }) => {
      const { open_vacuum_Hz: held, open_circuit_vacuum_Hz: open } = modes();
      const [a = 0, b = 0] = [held[0], open[0]];
      return b > 0 ? Math.sqrt(Math.max(0, 1 - (a / b) ** 2)) : null;
    },
  },
  {
    key: "opening_voltage_V",
    names: ["opening voltage"],
    kind: "voltage",
    asks: [],
    of: ({ sheet }) => sheet().seat?.opening_voltage_V ?? null,
  },
  {
    key: "lift_m",
    names: ["lift when open"],
    kind: "length",
    asks: [],
    of: ({ sheet }) => sheet().seat?.lift_open_m ?? null,
  },
  {
    key: "effective_seal_area_m2",
    names: ["effective seal area"],
    kind: "area",
    asks: [],
    of: ({ sheet }) => sheet().seat?.effective_seal_area_m2 ?? null,
  },
  {
    key: "throughput_Pa_m3_s",
    names: ["throughput when open"],
    kind: "throughput",
    asks: [],
    of: ({ sheet }) => sheet().gas?.throughput_Pa_m3_s ?? null,
  },
  {
    key: "edge_10_90_s",
    names: ["voltage edge"],
    kind: "time",
    asks: [],
    of: ({ sheet }) => sheet().drive?.edge_10_90_s ?? null,
  },
];

/** The one of that key or name; null when there is none. */
export function observableNamed(word: string): Observable | null {
  const plain = word.trim().toLowerCase();
  return (
    OBSERVABLES.find(
      ({ key, names }) => key === word || names.some((name) => name.toLowerCase() === plain),
    ) ?? null
  );
}

/** The design as it was when the value was taken. RangeError when a key of the conditions is no number of the design. */
export function underConditions(design: Design, conditions: Conditions, stretch = 0): Design {
  let out = design;
  if (conditions.bare) {
    const { pad: _pad, seat: _seat, ...rest } = out;
    out = { ...rest, masses: [] };
  }
  if (conditions.set.length > 0)
    out = withValues(
      out,
      conditions.set.map(({ key, value }) => {
        const input = out.inputs.find((each) => each.key === key);
        if (input === undefined) throw new RangeError(`the design has no number ${key}`);
        return { path: input.path, value };
      }),
    );
  const length = (conditions.freeLength ?? out.strip.freeLength) + stretch;
  return length === out.strip.freeLength ? out : withFreeLength(out, length);
}

/**
 * Looks at one design under several conditions; what is computed for one value serves the others.
 * `stretch` is how much longer the strip bends than its stated length, in m.
 */
export class Bench {
  private readonly design: Design;
  private readonly stretch: number;
  private readonly after: (design: Design) => Design;
  private readonly scenes = new Map<string, Scene>();

  /** `after` changes the design under each condition: what is wrong is wrong whatever was set. */
  constructor(design: Design, stretch = 0, after: (design: Design) => Design = (same) => same) {
    this.design = design;
    this.stretch = stretch;
    this.after = after;
  }

  private scene(conditions: Conditions): Scene {
    const { bare, freeLength, set } = conditions;
    const key = JSON.stringify([bare, freeLength, set]);
    let kept = this.scenes.get(key);
    if (kept === undefined) {
      const design = this.after(underConditions(this.design, conditions, this.stretch));
      const strip = buildStrip(design);
      const electrical = buildElectrical(design, strip);
      let sheet: SheetResult | null = null;
      let modes: ModeFigures | null = null;
      kept = {
        design,
        stated: this.stretch === 0 ? design : this.after(underConditions(this.design, conditions)),
        conditions,
        strip,
        electrical,
        modes: () => {
          modes ??= modeFigures(design, strip, electrical, null);
          return modes;
        },
        sheet: () => {
          sheet ??= evaluate(design, { detail: false });
          return sheet;
        },
      };
      this.scenes.set(key, kept);
    }
    return { ...kept, conditions };
  }

  /** A figure under its conditions; null where the design has none. */
  figure(figure: string, conditions: Conditions): number | null {
    const scene = this.scene(conditions);
    const observable = observableNamed(figure);
    if (observable !== null) return observable.of(scene);
    const place = figurePlaces(scene.sheet()).find(({ path }) => path === figure);
    const value =
      place === undefined ? null : (place.holder as Record<string | number, unknown>)[place.key];
    return typeof value === "number" ? value : null;
  }
}
