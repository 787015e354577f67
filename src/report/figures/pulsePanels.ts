import type { Design } from "../../design/design.ts";
import type { GateEdge } from "../../physics/pulse/program.ts";
import { fullOpeningLift } from "../../physics/seat.ts";
import type { PulseRun } from "../../studies/pulse.ts";
import type { DrawnWaveform } from "../../studies/pulseOptions.ts";
import type { PulseFigures } from "../../studies/pulseResult.ts";
import type { QuantityKind } from "../../units/index.ts";

/** What pictures of a run need. */
export type DrawnRun = Pick<PulseRun, "result" | "series" | "made">;

/** What was commanded, where the gate's length does not say it. */
export interface DrawnDrive {
  edges?: readonly GateEdge[];
  waveform?: DrawnWaveform;
}

/** Part of the job that a curve belongs to; each has its hue. */
export type Part = "drive" | "motion" | "gas";

export interface PanelCurve {
  id: string;
  name: string;
  /** SI, on the grid of the series. */
  values: ArrayLike<number>;
  /** Steps at their own times, for a gate: each level holds until the next. */
  steps?: readonly { time: number; value: number }[];
}

/** One of the stacked plots, all over the same time. */
export interface Panel {
  id: string;
  title: string;
  kind: QuantityKind;
  part: Part;
  curves: readonly PanelCurve[];
  /** Thin lines across, and words beside them. */
  marks: readonly { value: number; words: string }[];
  /** Share of the height, over that of others. */
  weight: number;
  /** Time in which the pad closes the seat is shaded. */
  contact: boolean;
  /** Words in place of numbers at the axis, for a gate. */
  levels?: readonly { value: number; words: string }[];
  /** The largest value is named at the curve, default yes; a number: what it is between grid points. */
  peak?: false | number;
}

/** The panels, the drive first, the gas last; those that the design does not have are left out. */
export function pulsePanels(design: Design, run: DrawnRun, drive: DrawnDrive): Panel[] {
  const { series, made, result } = run;
  const { model } = made;
  const last = result.pulses.at(-1);
  const valve = model.seat !== null;
  const panel = (
    id: string,
    title: string,
    kind: QuantityKind,
    part: Part,
    values: ArrayLike<number>,
    more: Partial<Panel> = {},
  ): Panel => ({
    id,
    title,
    kind,
    part,
    curves: [{ id, name: title, values }],
    marks: [],
    weight: 1,
    contact: false,
    ...more,
  });
  const molar = design.gas?.molarMass ?? 0;
  const rails = model.circuit?.spec.rails ?? [];
  return [
    commanded(run, drive),
    panel("output", "output voltage", "voltage", "drive", series.output.values, {
      marks: rails.map(({ name, voltage }) => ({ value: voltage, words: name })),
      peak: false,
    }),
    ...(rails.length === 0 ? [] : [railPanel(run)]),
    panel("current", "current into the output", "current", "drive", series.current.values, {
      ...(last === undefined ? {} : { peak: last.electric.peak_current_A }),
    }),
    panel(
      valve ? "lift" : "travel",
      valve ? "lift of the pad over the seat" : "travel at the pad",
      "length",
      "motion",
      series.lift.values,
      {
        weight: 2.4,
        contact: valve,
        marks: liftMarks(run, last),
      },
    ),
    ...(valve
      ? [
          panel("contact", "force on the seat", "force", "motion", series.contact.values, {
            contact: true,
          }),
        ]
      : []),
    ...(model.plenum !== null && molar > 0
      ? [
          panel(
            "flow",
            "flow through the orifice",
            "molar flow",
            "gas",
            series.flow.values.map((x) => x / molar),
            { weight: 1.4 },
          ),
        ]
      : []),
    ...(model.chamber === null
      ? []
      : [panel("chamber", "chamber pressure", "pressure", "gas", series.chamber.values)]),
  ].filter((each) => each !== null);
}

function liftMarks({ made }: DrawnRun, last: PulseFigures | undefined) {
  const { seat } = made.model;
  const marks: { value: number; words: string }[] = [];
  if (last?.static_lift_m != null)
    marks.push({
      value: last.static_lift_m,
      words: seat === null ? "static travel" : "static lift",
    });
  if (seat !== null) marks.push({ value: fullOpeningLift(seat.model), words: "full opening" });
  return marks;
}

/** Rails by how far they are from what they are set to: a sag of a volt would not show beside the voltage. */
function railPanel({ series, made }: DrawnRun): Panel {
  const rails = made.model.circuit?.spec.rails ?? [];
  const several = rails.length > 1;
  return {
    id: "rails",
    title: several
      ? "rails, less their set voltages"
      : `rail ${rails[0]?.name ?? ""}, less its set voltage`,
    kind: "voltage",
    part: "drive",
    curves: rails.map(({ name, voltage }, r) => ({
      id: `rail-${r + 1}`,
      name,
      values: series.rails[r]!.values.map((v) => v - voltage),
    })),
    marks: [],
    weight: 0.9,
    contact: false,
  };
}

/** The gate as states in time, or the drawn waveform; null where neither is known. */
function commanded({ series, made, result }: DrawnRun, drive: DrawnDrive): Panel | null {
  const { count, step } = series;
  const base = { part: "drive", marks: [], contact: false, peak: false } as const;
  if (drive.waveform !== undefined) {
    const { time_s, voltage_V } = drive.waveform;
    let k = 0;
    const values = Float64Array.from({ length: count }, (_, i) => {
      const t = i * step;
      while (k < time_s.length - 1 && (time_s[k + 1] as number) <= t) k++;
      const [a, b] = [time_s[k] as number, time_s[k + 1] ?? Number.POSITIVE_INFINITY];
      const [va, vb] = [voltage_V[k] as number, voltage_V[k + 1] ?? (voltage_V[k] as number)];
      return t <= a || b === Number.POSITIVE_INFINITY ? va : va + ((t - a) / (b - a)) * (vb - va);
    });
    const curves = [{ id: "commanded", name: "commanded voltage", values }];
    return {
      ...base,
      id: "commanded",
      title: "commanded voltage",
      kind: "voltage",
      curves,
      weight: 0.9,
    };
  }
  const { gate_s } = result.drive;
  const edges =
    drive.edges ??
    (gate_s === null
      ? null
      : [
          { time: 0, state: made.open },
          { time: gate_s, state: made.closed },
        ]);
  if (edges === null) return null;
  const level = (state: GateEdge["state"]) => (state === "off" ? 0.5 : state === made.open ? 1 : 0);
  let k = -1;
  const values = Float64Array.from({ length: count }, (_, i) => {
    while (k < edges.length - 1 && (edges[k + 1] as GateEdge).time <= (i + 1e-6) * step) k++;
    return k < 0 ? 0 : level((edges[k] as GateEdge).state);
  });
  const off = edges.some((edge) => edge.state === "off");
  return {
    ...base,
    id: "gate",
    title: "gate",
    kind: "ratio",
    curves: [
      {
        id: "gate",
        name: "gate",
        values,
        steps: edges.map(({ time, state }) => ({ time, value: level(state) })),
      },
    ],
    weight: 0.5,
    levels: [
      { value: 0, words: "closed" },
      ...(off ? [{ value: 0.5, words: "off" }] : []),
      { value: 1, words: "open" },
    ],
  };
}
