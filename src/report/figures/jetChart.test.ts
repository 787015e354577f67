import { expect, test } from "vitest";
import { clashes, labelsOf, outsideOf } from "../../../test/golden/labelBoxes.ts";
import { gasNamed, mixGases } from "../../physics/gases.ts";
import type { JetInput } from "../../sheet/jetResult.ts";
import { jetFigures } from "../../sheet/jetSheet.ts";
import { jetChart } from "./jetChart.ts";

const helium: JetInput = {
  gas: gasNamed("He"),
  sourcePressure: 20e5,
  sourceTemperature: 295,
  orificeDiameter: 150e-6,
  nozzle: { form: "sonic" },
  backgroundPressure: 0.02,
  chamberLength: null,
  chamberVolume: 0.06,
  pulse: 110e-6,
  skimmerDistance: 25e-3,
  skimmerDiameter: 1e-3,
  interactionDistance: 0.3,
};
const argon: JetInput = {
  ...helium,
  gas: gasNamed("Ar"),
  sourcePressure: 1e5,
  orificeDiameter: 0.2e-3,
  backgroundPressure: 10,
  pulse: null,
  skimmerDistance: 10e-3,
};
const crowded = { ...argon, skimmerDistance: 12.4e-3, interactionDistance: 12.6e-3 };
const CASES = {
  helium,
  argon,
  crowded,
  "argon, no skimmer": { ...argon, skimmerDistance: null },
  "marks at one place": { ...helium, interactionDistance: 25e-3 },
  mixture: {
    ...helium,
    gas: mixGases(
      ["He", "Ne", "Ar", "Kr", "Xe", "N2", "O2"].map((name) => ({ name, fraction: 1 })),
    ),
  },
  nitrogen: { ...helium, gas: gasNamed("N2") },
  bare: {
    ...helium,
    backgroundPressure: null,
    skimmerDistance: null,
    interactionDistance: null,
    skimmerDiameter: null,
  },
};
const chart = (input: JetInput, options = {}) => jetChart(input, jetFigures(input), options)!;

test.each(Object.keys(CASES) as (keyof typeof CASES)[])(
  "%s at every size: no label over another, none cut",
  (name) => {
    for (const [width, height] of [
      [420, 280],
      [640, 420],
      [900, 560],
      [1400, 800],
    ] as const)
      for (const bare of [false, true]) {
        const figure = chart(CASES[name], { size: { width, height }, bare });
        expect(clashes(figure.svg), `${width}`).toEqual([]);
        expect(outsideOf(figure.svg), `${width}`).toEqual([]);
        expect(figure.svg).toContain(`viewBox="0 0 ${width} ${height}"`);
        const words = labelsOf(figure.svg).map((label) => label.words);
        expect(words.includes(figure.title)).toBe(!bare);
        expect(figure.svg.includes(`<rect x="0" y="0" width="${width}"`)).toBe(!bare);
      }
  },
);

test("each curve lies on the picture where its numbers say", () => {
  const figure = chart(helium);
  const { x, y, series } = figure.plot!;
  const px = (axis: typeof x, value: number) =>
    axis.range[0] +
    (Math.log(value / axis.from) / Math.log(axis.to / axis.from)) * (axis.range[1] - axis.range[0]);
  for (const { id, x: xs, y: ys } of series) {
    const d = new RegExp(`data-curve="${id}"><path d="M([\\d.]+) ([\\d.]+)`).exec(figure.svg)!;
    expect(Number(d[1])).toBeCloseTo(px(x, xs[0]!), 1);
    expect(Number(d[2])).toBeCloseTo(px(y, ys[0]!), 1);
  }
  expect(series.map((s) => s.id)).toEqual(["mach", "temperature", "density"]);
  const [mach, temperature, density] = series.map((s) => s.y.at(-1)!);
  // A frozen monatomic jet: T/T0 = 1/(1 + M²/3); the density has fallen below (T/T0)^{3/2} behind the freezing.
  expect(temperature! * (1 + mach! ** 2 / 3)).toBeCloseTo(1, 9);
  expect(density!).toBeLessThan(temperature! ** 1.5);
});

test("marks stand at their distance with their words, the reach behind a disk is shaded", () => {
  const figure = chart(argon);
  const { x } = figure.plot!;
  for (const [id, words, at] of [
    ["skimmer", "skimmer 10 mm", 10e-3],
    ["freezing", "freezing surface 12.2 mm", jetFigures(argon).freezing_distance_m!],
    ["disk", "Mach disk 13.4 mm", 13.4e-3],
    ["interaction", "interaction point 300 mm", 0.3],
  ] as const) {
    const mark = new RegExp(`data-part="mark-${id}"><line x1="([\\d.]+)"`).exec(figure.svg)!;
    const want =
      x.range[0] + (Math.log(at / x.from) / Math.log(x.to / x.from)) * (x.range[1] - x.range[0]);
    expect(Number(mark[1])).toBeCloseTo(want, 1);
    expect(figure.svg).toContain(`>${words}<`);
  }
  expect(figure.svg).toContain('fill="#ECEAE4"');
  expect(chart(helium).svg).not.toContain("mark-disk");
  expect(chart(helium).svg).not.toContain('fill="#ECEAE4"');
});

test("a freezing surface that the Mach disk comes before is not marked", () => {
  const short = { ...argon, backgroundPressure: 20 };
  expect(jetFigures(short).freezing_distance_m!).toBeGreaterThan(jetFigures(short).mach_disk_m!);
  expect(chart(short).svg).not.toContain("mark-freezing");
});

test("a view shows a part with ticks of its own, the whole data behind it", () => {
  const whole = chart(helium);
  const figure = chart(helium, { view: { x: [10e-3, 50e-3], y: [1e-5, 1e-2] } });
  expect([figure.plot!.x.from, figure.plot!.x.to]).toEqual([10e-3, 50e-3]);
  expect(figure.csv).toBe(whole.csv);
  expect(figure.svg).toContain("skimmer 25 mm");
  expect(figure.svg).not.toContain("mark-interaction");
  expect(clashes(figure.svg)).toEqual([]);
});

test("sentence and table say what the picture shows; without a jet there is none", () => {
  const { sentence, csv } = chart(helium, { origin: "here and then" });
  expect(sentence).toBe(
    "Free jet of He from 20 bar and 295 K through 0.15 mm, 1750 m/s at the end; skimmer at 25 mm, freezing surface at 27.1 mm, interaction point at 300 mm.",
  );
  const lines = csv.trimEnd().split("\n");
  expect(lines).toHaveLength(161 + 6);
  expect(lines[2]).toBe("# origin: here and then");
  expect(lines[4]).toBe("distance,mach,temperature,density,pressure,speed");
  expect(lines[5]).toBe("m,1,K,1/m^3,Pa,m/s");
  const heavy = { ...helium, gas: gasNamed("SF6") };
  expect(jetChart(heavy, jetFigures(heavy))).toBeNull();
});
