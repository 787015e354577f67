import type { Design } from "../../design/design.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { formatQuantity } from "../../units/index.ts";
import type { Lever } from "./lever.ts";
import { blank, type Row, type Step, sheetRow, worked } from "./rows.ts";

/*
 * What is measured, in the order in which a bench is worked through: what can spoil the strip last, what tells
 * whether to go on first. Levels and lengths of records are common practice, no source.
 */

const length = (value: number) => formatQuantity(value, 0, "length", { digits: 3 });
const hertz = (value: number) => formatQuantity(value, 0, "frequency", { digits: 3 });
const seconds = (value: number) => formatQuantity(value, 0, "time", { digits: 3 });

/** Text of a length that a shell takes back. */
const plain = (value: number) => length(value).replace("μ", "u");

export function benchSteps(
  design: Design,
  result: SheetResult,
  lever: Lever,
  file: string,
): Step[] {
  const at = (label: string, path: string) => sheetRow(result, label, path);
  const reduce = (kind: string, files: string, ...settings: string[]) =>
    `reedlift reduce ${kind} ${files} --design ${file}${settings.map((s) => ` --set '${s}'`).join("")}`;
  const f1 = result.modes.open_air_Hz[0] ?? 0;
  const q1 = result.modes.q_air[0] ?? 30;
  const steps: Step[] = [
    {
      id: "incoming",
      title: "Incoming test, before anything is soldered or cut",
      do: [
        "Look at faces and edges at ×20–50. Capacitance and tan δ at 1 kHz, at most 1 V: each layer by itself, then between the nodes that the switch drives.",
        "Insulation at 100 V, dry: at least 1 GΩ. Short the electrodes afterwards.",
      ],
      rows: [
        at("capacitance between the nodes of the switch", "strip.capacitance_small_signal_F"),
        blank("tan δ at 1 kHz, at most 0.02–0.03"),
        blank("insulation at 100 V, at least 1 GΩ"),
        ...design.strip.layers.flatMap((layer, i): Row[] =>
          layer.poling === 0 ? [] : [blank(`capacitance of layer ${i + 1} by itself`)],
        ),
      ],
      lines: [reduce("impedance", "incoming.csv")],
    },
    {
      id: "cut",
      title: "Only if the strip is cut: before and after",
      do: [
        "Sweep before and after, clamped. Wet the edge while cutting; lead oxide dust: wipe wet, gloves, no blowing.",
        "Capacitance goes with area within 5 %, tan δ not above that before, f1 with 1/L².",
      ],
      rows: [
        blank("length under electrodes, before / after"),
        blank("free length, before / after"),
      ],
      lines: [reduce("cut", "before.csv after.csv", "length-before=… mm", "length-after=… mm")],
    },
    {
      id: "impedance",
      title: `Sweep of the clamped strip, all that is glued to it on${result.seat === null ? "" : ", not touching the seat"}`,
      do: [
        `At most 1 V. ${hertz(200)} to ${hertz(Math.max(5 * f1, 4 * (result.modes.open_air_Hz[1] ?? f1)))} for capacitance and all resonances; then ${hertz(f1 * 0.7)} to ${hertz(f1 * 1.4)} in steps of ${hertz(f1 / q1 / 8)} or finer for Q and coupling.`,
        "f1 low by 12 %: 6 % longer than thought, or a soft clamp; the second resonance tells which.",
      ],
      rows: [
        at("capacitance", "strip.capacitance_small_signal_F"),
        at("first resonance in air", "modes.open_air_Hz[0]"),
        at("second resonance in air", "modes.open_air_Hz[1]"),
        at("Q of the first, in air", "modes.q_air[0]"),
        worked("coupling factor k_eff", "coupling", couplingOf(result)),
      ],
      lines: [reduce("impedance", "sweep.csv", "drive=1 V")],
    },
    leverStep(design, result, lever, reduce),
    {
      id: "trace",
      title:
        result.gas === null
          ? "Step response: half voltage first, then full"
          : "Step response, no gas: half voltage first, then full",
      do: [
        `Photodiode behind a knife edge at the screen, bandwidth above ${hertz(20 * f1)}; at least ${hertz(100 * f1)} samples a second over ${seconds(6 * (q1 / (Math.PI * f1)))}; gate on a second channel; 16 sweeps or more.`,
      ],
      rows: [
        at("electrical edge, 10–90 %", "drive.edge_10_90_s"),
        at("ringing at", "modes.open_air_Hz[0]"),
        worked("ring-down time in air, Q/(π f1)", "ring_down_s", q1 / (Math.PI * f1)),
      ],
      lines: [reduce("trace", "step.csv")],
    },
  ];
  if (result.drive !== null) steps.push(...electricalSteps(design, result, at, reduce));
  if (result.seat !== null) steps.push(...seatSteps(result, at, reduce));
  return steps;
}

type At = (label: string, path: string) => Row;
type Reduce = (kind: string, files: string, ...settings: string[]) => string;

function couplingOf({ modes }: SheetResult): number {
  const ratio = (modes.open_vacuum_Hz[0] ?? 1) / (modes.open_circuit_vacuum_Hz[0] ?? 1);
  return Math.sqrt(Math.max(0, 1 - ratio ** 2));
}

function leverStep(design: Design, result: SheetResult, lever: Lever, reduce: Reduce): Step {
  const { states } = result.strip;
  const point = design.pad === undefined ? "tip" : "pad";
  const index = (name: string) => states.findIndex((state) => state.name === name);
  return {
    id: "lever",
    title: "Optical lever: deflection against voltage",
    do: [
      `Mirror (at most 5 mg) with its middle ${length(lever.mirror)} from the clamp edge${lever.ofDesign ? ", as in the design" : "; a sweep before and after tells what it weighs"}; screen ${length(lever.distance)} from the mirror, square to the beam at rest. Then ${length(lever.reading)} on the screen is ${length(lever.reading / lever.magnification)} at the ${point}.`,
      "Mark the spot at 0 V. Half voltage first. Up the steps of voltage, and down again without stopping: the width of the loop is hysteresis.",
    ],
    rows: lever.states.flatMap((state): Row[] => {
      const path = `strip.states.${index(state.name)}.free_deflection_m`;
      const { u } = state;
      return [
        {
          ...worked(
            `deflection at the ${point}, ${state.name}`,
            "free_deflection_m",
            state.deflection,
            u,
          ),
          path,
        },
        worked(
          `spot from its place at 0 V, ${state.name}, up`,
          "spot_m",
          state.spot,
          Math.abs(u * lever.magnification),
        ),
      ];
    }),
    lines: [
      reduce(
        "lever",
        "lever.csv",
        `screen-distance=${plain(lever.distance)}`,
        `mirror-position=${plain(lever.mirror)}`,
        `incidence=${Math.round((lever.incidence * 180) / Math.PI)}°`,
      ),
    ],
  };
}

function electricalSteps(design: Design, result: SheetResult, at: At, reduce: Reduce): Step[] {
  const drive = result.drive as NonNullable<SheetResult["drive"]>;
  const peak = drive.peak_current_A;
  const shunt = peak === null ? null : nice(0.5 / peak);
  const tau = drive.edge_10_90_s / Math.log(9);
  const out: Step[] = [
    {
      id: "current",
      title: "Current at the edges",
      do: [
        `Shunt${shunt === null ? "" : ` of ${formatQuantity(shunt, 0, "resistance", { digits: 2 })}`} in the ground lead, at most half a volt across it; samples ${seconds(tau / 20)} apart or closer, ${seconds(15 * tau)} of quiet before and after an edge; voltage of the strip on a second channel.`,
      ],
      rows: [
        at("charge of an edge", "drive.charge_per_cycle_C"),
        at("largest current", "drive.peak_current_A"),
        at("large-signal capacitance", "strip.capacitance_large_signal_F"),
        worked("time constant, 10–90 % over ln 9", "time_constant_s", tau),
      ],
      lines: [
        reduce(
          "current",
          "edge.csv",
          ...(shunt === null
            ? []
            : [`shunt=${formatQuantity(shunt, 0, "resistance", { digits: 2, ascii: true })}`]),
        ),
      ],
    },
  ];
  drive.rails.forEach((rail, i) => {
    const stored = design.rails[rail.name]?.storage ?? null;
    if (rail.voltage_V === 0 || stored === null) return;
    out.push({
      id: `rail ${rail.name}`,
      title: `Rail ${rail.name}, with the strip off and on`,
      do: [
        "Probe at the storage capacitor, 100 MΩ or more; AC coupling for the sag. One record with the strip's lead off, one with it on.",
      ],
      rows: [
        at("voltage of the rail", `drive.rails.${i}.voltage_V`),
        at("sag of an edge", `drive.rails.${i}.droop_V`),
        at("charge on the storage", `drive.rails.${i}.stored_charge_C`),
        at("energy on the storage", `drive.rails.${i}.stored_energy_J`),
        at("time to a low voltage after switching off", `drive.rails.${i}.bleed_time_s`),
      ],
      lines: [reduce("rail", "off.csv on.csv", `rail=${rail.name}`)],
    });
  });
  return out;
}

/** One significant digit from 1, 2, 5, not above. */
function nice(value: number): number {
  const decade = 10 ** Math.floor(Math.log10(value));
  return ([5, 2, 1].find((step) => step * decade <= value) as number) * decade;
}

function seatSteps(result: SheetResult, at: At, reduce: Reduce): Step[] {
  const seat = result.seat as NonNullable<SheetResult["seat"]>;
  const curve = seat.opening_voltage_curve;
  const picked = [0, 0.5, 1].flatMap(
    (share) => curve[Math.round(share * (curve.length - 1))] ?? [],
  );
  return [
    {
      id: "stand-off",
      title: "Stand-off: touch, then on",
      do: [
        "Closed state, no gas. Turn the screw until f1 begins to rise or the leak falls: touch. Then on by what the design says; lock; look again after 1 h and 24 h.",
      ],
      rows: [
        at("on from touch", "seat.advance_m"),
        at("in turns of the screw", "seat.advance_turns"),
        at("first resonance closed", "modes.closed_Hz[0]"),
      ],
      lines: [],
    },
    {
      id: "opening",
      title: "Opening voltage against plenum pressure",
      do: [
        "High voltage off while filling and emptying through the lock-out band (cautions). At each pressure raise the voltage slowly until gas appears, then lower it until it stops. Hand over pressure rising, then falling.",
      ],
      rows: [
        at("opening voltage at the working pressure", "seat.opening_voltage_V"),
        ...picked.map(({ pressure_Pa, voltage_V }) =>
          worked(
            pressure_Pa < 1
              ? "without pressure"
              : `at ${formatQuantity(pressure_Pa, 0, "pressure", { digits: 3 })} absolute`,
            "opening_voltage_V",
            voltage_V,
          ),
        ),
      ],
      lines: [reduce("opening", "opening.csv")],
    },
    {
      id: "leak",
      title: "Closed leak, then gas of a pulse",
      do: [
        "Valve off the pump, rise of pressure over minutes at two plenum pressures: what stays without pressure is outgassing. Then the pulse at a low rate.",
      ],
      rows: [
        at("permeation floor", "seat.permeation_floor_Pa_m3_s"),
        blank("closed leak at the working pressure"),
        at("gas of a pulse (estimate of the check)", "gas.gas_per_pulse_mol"),
      ],
      lines: [reduce("leak", "rise.csv"), reduce("fill", "pulses.csv")],
    },
  ];
}
