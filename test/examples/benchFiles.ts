import { withFreeLength } from "../../src/design/values.ts";
import { randomStream } from "../../src/numerics/random.ts";
import { evaluate } from "../../src/sheet/evaluate.ts";
import { pulse } from "../../src/studies/pulse.ts";
import { exampleDesign } from "./support.ts";

/*
 * The files of examples/bench/: what the bench would have recorded of the example designs, computed from the model with
 * noise of a fixed seed. Invented; layouts differ on purpose. `npx vitest run test/examples/benchFiles --update` writes
 * them anew.
 */

export interface BenchFile {
  name: string;
  text: string;
}

const SEED = 20;

/** Opening voltage against plenum pressure: the line of the sheet, searched in steps, 0.4 V off at random. */
function opening(): BenchFile {
  const design = exampleDesign("first-valve");
  const noise = randomStream(SEED, 1);
  const at = (pressure: number) => {
    const plenumPressure = pressure;
    const other = { ...design, need: { ...design.need, plenumPressure } };
    return evaluate(other, { detail: false, marginsOnly: true }).seat?.opening_voltage_V as number;
  };
  const steps = [1, 1.5, 2, 3, 4, 6, 8, 10, 12, 9, 5, 2.5, 1.2];
  const rows = steps.map((bar) => {
    const volts = at(bar * 1e5) + 0.4 * noise.normal();
    return `${bar.toFixed(2)}, ${volts.toFixed(1)}, ${(volts - 3.5 + 0.5 * noise.normal()).toFixed(1)}`;
  });
  return {
    name: "opening.csv",
    text: [
      "# opening and closing voltage, first valve, argon; lever spot watched, 0.5 V steps",
      "plenum pressure (bar), opening (V), closing (V)",
      ...rows,
      "",
    ].join("\n"),
  };
}

/** Pressure rise of the closed chamber: gas behind the seat, then the plenum pumped. Decimal comma, semicolons. */
function leak(name: string, leakRate: number, stream: number): BenchFile {
  const noise = randomStream(SEED, stream);
  const volume = 0.04;
  const outgassing = 6e-7;
  const comma = (x: number, digits: number) => x.toExponential(digits).replace(".", ",");
  const rows = Array.from({ length: 61 }, (_, k) => {
    const time = 10 * k;
    const pressure = 2e-3 + ((leakRate + outgassing) / volume) * time;
    return `${time};${comma((pressure * (1 + 0.004 * noise.normal())) / 100, 4)}`;
  });
  return {
    name,
    text: ["gauge log", "Zeit/s;Druck/mbar", ...rows, ""]
      .join("\r\n")
      .replace("Zeit", "time")
      .replace("Druck", "pressure"),
  };
}

/** Pressure of the closed chamber after counted pulses, beside a slow rise of its own. */
function fill(): BenchFile {
  const design = exampleDesign("first-valve");
  const gas = evaluate(design, { detail: false }).gas?.gas_per_pulse_mol as number;
  const noise = randomStream(SEED, 4);
  const volume = 0.04;
  const step = (gas * 8.314462618 * 295.15) / volume;
  const rows = Array.from({ length: 21 }, (_, k) => {
    const [count, time] = [10 * k, 15 * k];
    const pressure = 0.01 + step * count + 2e-6 * time;
    return `${count}\t${time}\t${(pressure * (1 + 0.002 * noise.normal())).toExponential(4)}`;
  });
  return { name: "fill.txt", text: ["pulses\ttime\tpressure", "1\ts\tPa", ...rows, ""].join("\n") };
}

/** Gate of the mirror strip, s. */
const GATE = 0.06;

/** Detector behind a knife edge and gate, while the mirror strip swings over and back: 250 µm/V, 4 mV of noise. */
function trace(): BenchFile {
  const design = exampleDesign("mirror-shutter");
  const { series } = pulse(design, { gate: GATE, duration: 0.14, step: 2e-6 });
  const noise = randomStream(SEED, 5);
  const every = 50e-6;
  const before = 100;
  const stride = Math.round(every / series.step);
  const count = Math.floor((series.count - 1) / stride);
  const rows = Array.from({ length: before + count }, (_, i) => {
    const k = i - before;
    const lift = k < 0 ? 0 : (series.lift.values[k * stride] as number);
    const gate = k >= 0 && k * every < GATE ? 5 : 0;
    const volts = lift / 250e-6 + 0.004 * noise.normal();
    return `${(k * every).toExponential(4)},${volts.toFixed(4)},${(gate + 0.02 * noise.normal()).toFixed(2)}`;
  });
  return {
    name: "trace.csv",
    text: [
      "bench record,mirror strip over a knife edge",
      `samples,${rows.length}`,
      "coupling,DC",
      "",
      "time,detector,gate",
      "s,V,V",
      ...rows,
      "",
    ].join("\n"),
  };
}

/** Size and phase of the impedance of the strip in its clamp, in air: its first resonance as one branch. */
function impedance(): BenchFile {
  const design = exampleDesign("first-valve");
  const sheet = evaluate(design, { detail: false });
  const noise = randomStream(SEED, 6);
  const free = sheet.strip.capacitance_small_signal_F as number;
  const f1 = sheet.modes.open_air_Hz[0] as number;
  const [coupling, loss, quality] = [0.085, 0.018, 27];
  const motional = free * coupling;
  const w1 = 2 * Math.PI * f1;
  const rows = Array.from({ length: 401 }, (_, k) => {
    const f = 200 * 50 ** (k / 400);
    const w = 2 * Math.PI * f;
    // Branch C1 over 1 − (w/w1)² + j w/(w1 Q), beside the clamped capacitance with its loss.
    const [a, b] = [1 - (w / w1) ** 2, w / (w1 * quality)];
    const size = a * a + b * b;
    const re = free - motional + (motional * a) / size;
    const im = -(free - motional) * loss - (motional * b) / size;
    // Y = j w (re + j im), Z = 1/Y.
    const z = (1 / (w * Math.hypot(re, im))) * (1 + 5e-4 * noise.normal());
    const phase = -90 - (Math.atan2(im, re) * 180) / Math.PI + 0.03 * noise.normal();
    return [f.toFixed(2), z.toPrecision(6), phase.toFixed(3)].join(";").replaceAll(".", ",");
  });
  return {
    name: "impedance.csv",
    text: ["Frequency [Hz];|Z| [Ohm];Phase [deg]", ...rows, ""].join("\r\n"),
  };
}

/** Bias rail at its storage capacitor and the current into the output over one pulse, as the simulation has them. */
function rail(name: string, strip: boolean, stream: number): BenchFile {
  const design = exampleDesign("first-valve");
  const { series } = pulse(design, { gate: 1e-3, duration: 0.02, step: 2e-6 });
  const noise = randomStream(SEED, stream);
  const every = 10e-6;
  const stride = Math.round(every / series.step);
  const bias = series.rails[0]?.values as ArrayLike<number>;
  const rows = Array.from({ length: 1500 }, (_, i) => {
    const k = i - 200;
    const at = Math.max(0, k) * stride;
    const volts = (strip ? (bias[at] as number) : (bias[0] as number)) + 0.02 * noise.normal();
    const gate = k >= 0 && k * every < 1e-3 ? 3.3 : 0;
    return `${(k * every * 1e3).toFixed(2)} ${volts.toFixed(3)} ${gate.toFixed(1)}`;
  });
  return { name, text: ["# t/ms U/V gate/V", ...rows, ""].join("\n") };
}

/** Laser spot on a screen 300 mm away over a slow sweep up and down; mirror 6 mm from the clamp edge, seat taken off. */
function lever(): BenchFile {
  const design = exampleDesign("first-valve");
  const { strip } = evaluate(design, { detail: false });
  const noise = randomStream(SEED, 9);
  const pad = 8.5e-3;
  // Bent by voltage: lift κx²/2, slope κx; 150 V between both states.
  const curvature = (2 * (strip.swing_at_pad_m as number)) / pad ** 2 / 150;
  const rows = [
    ...Array.from({ length: 31 }, (_, k) => 5 * k),
    ...Array.from({ length: 30 }, (_, k) => 145 - 5 * k),
  ].map((volts, i) => {
    // A loop of a tenth of the travel in its middle, as soft ceramic has.
    const loop = 0.1 * (1 - ((volts - 75) / 75) ** 2) * 75 * (i > 30 ? 0.5 : -0.5);
    const slope = curvature * 6e-3 * (volts + loop);
    const spot = 0.3 * Math.tan(2 * slope) + 8e-6 * noise.normal();
    return `${volts}\t${(1e3 * spot).toFixed(3)}`;
  });
  return { name: "lever.txt", text: ["U / V\tspot / mm", ...rows, ""].join("\n") };
}

/** First resonance and swing of one strip at five free lengths, clamped as if 0.35 mm longer. */
function lengths(): BenchFile {
  const design = exampleDesign("mirror-shutter");
  const noise = randomStream(SEED, 10);
  const rows = [14, 16, 18, 20, 22].map((millimetres) => {
    const sheet = evaluate(withFreeLength(design, (millimetres + 0.35) * 1e-3), { detail: false });
    const frequency = (sheet.modes.open_air_Hz[0] as number) * (1 + 0.002 * noise.normal());
    const swing = (sheet.strip.swing_at_tip_m as number) * (1 + 0.01 * noise.normal());
    return `${millimetres.toFixed(2)},${frequency.toFixed(1)},${(1e6 * swing).toFixed(1)}`;
  });
  return {
    name: "lengths.csv",
    text: ["free length (mm),f1 (Hz),swing (um)", ...rows, ""].join("\n"),
  };
}

/** Every file. */
export function benchFiles(): BenchFile[] {
  return [
    opening(),
    leak("leak-2bar.csv", 2.4e-6, 2),
    leak("leak-pumped.csv", 0, 3),
    fill(),
    lever(),
    lengths(),
    trace(),
    impedance(),
    rail("rail-strip-off.txt", false, 7),
    rail("rail-strip-on.txt", true, 8),
  ];
}
