import { expect, test } from "vitest";
import { gasNamed, mixGases } from "../physics/gases.ts";
import type { JetFigures, JetInput } from "./jetResult.ts";
import { jetFigures } from "./jetSheet.ts";

/** Helium, 20 bar through 0.15 mm into a chamber of 60 l. */
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
/** Argon, 1 bar through 0.2 mm, running steadily into 10 Pa. */
const argon: JetInput = {
  ...helium,
  gas: gasNamed("Ar"),
  sourcePressure: 1e5,
  orificeDiameter: 0.2e-3,
  backgroundPressure: 10,
  pulse: null,
  skimmerDistance: 5e-3,
};
const ids = (figures: JetFigures) => figures.cautions.map(({ id }) => id);

/** Paths of all figures that are null. */
function missing(record: object, before = ""): string[] {
  return Object.entries(record).flatMap(([key, value]) => {
    if (value === null) return [before + key];
    if (typeof value !== "object" || Array.isArray(value) || key === "reasons") return [];
    return missing(value, `${before}${key}.`);
  });
}

const CASES: Record<string, JetInput> = {
  helium,
  argon,
  "sulphur hexafluoride": { ...helium, gas: gasNamed("SF6") },
  "sulphur hexafluoride, cone": {
    ...helium,
    gas: gasNamed("SF6"),
    nozzle: { form: "cone", halfAngle: 0.1 },
  },
  "not choked": { ...helium, backgroundPressure: 15e5 },
  "nothing given": {
    ...helium,
    backgroundPressure: null,
    chamberVolume: null,
    pulse: null,
    skimmerDistance: null,
    skimmerDiameter: null,
    interactionDistance: null,
  },
  "perfect vacuum": { ...helium, backgroundPressure: 0 },
  "too thin": { ...helium, sourcePressure: 20 },
  "behind the disk": { ...argon, skimmerDistance: 50e-3, skimmerDiameter: null },
  "unknown gas": {
    ...helium,
    gas: { ...helium.gas, components: [{ ...helium.gas.components[0]!, name: "own" }] },
  },
  mixture: {
    ...helium,
    gas: mixGases([
      { name: "He", fraction: 0.9 },
      { name: "N2", fraction: 0.1 },
    ]),
    nozzle: { form: "cone", halfAngle: 0.1 },
  },
};

test.each(Object.keys(CASES))("%s: every null has its reason, every reason its null", (name) => {
  const figures = jetFigures(CASES[name]!);
  expect(Object.keys(figures.reasons).sort()).toEqual(missing(figures).sort());
  for (const reason of Object.values(figures.reasons)) expect(reason).toMatch(/\w{2}/);
  expect(JSON.stringify(figures)).not.toMatch(/NaN|Infinity/);
  for (const { text, action } of figures.cautions) {
    expect(text).toMatch(/^[A-Z].*\.$/);
    expect(action).toMatch(/^[A-Z].*\.$/);
  }
});

test("helium: speed, freezing and arrival agree with each other", () => {
  const figures = jetFigures(helium);
  expect(figures.terminal_speed_m_s).toBeCloseTo(1750.4, 1);
  expect(figures.equivalent_diameter_m).toBe(150e-6);
  const { interaction, skimmer } = figures;
  // Far away the gas has flown at nearly u∞; the first diameters take 0.1 μs more.
  expect(interaction!.arrival_time_s! * figures.terminal_speed_m_s).toBeGreaterThan(0.3);
  expect(interaction!.arrival_time_s! * figures.terminal_speed_m_s).toBeLessThan(0.3003);
  expect(interaction!.pulse_s!).toBeGreaterThan(110e-6);
  // Behind the skimmer nothing more is lost to the background of the source chamber.
  expect(interaction!.background_loss).toBe(skimmer!.background_loss);
  expect(figures.condensation).toBe("none");
});

test("the helium disk lies outside the chamber; in a longer one the pulse is too short for it", () => {
  const { mach_disk_m, mach_disk_formula_m, reasons } = jetFigures({
    ...helium,
    backgroundPressure: 0.25,
  });
  expect(mach_disk_m).toBeNull();
  // 0.67 · 0.15 mm · √(8·10⁶) = 284 mm, inside 391 mm: 10 x_M/u = 1.6 ms.
  expect(mach_disk_formula_m).toBeCloseTo(0.2843, 4);
  expect(reasons.mach_disk_m).toMatch(
    /^not formed: the pulse of 110 μs is shorter than the 1.62 ms/,
  );
  const near = jetFigures({ ...helium, backgroundPressure: 0.25, chamberLength: 0.2 });
  expect(near.reasons.mach_disk_m).toBe("not formed: 284 mm lies outside the chamber, 200 mm");
  const thin = jetFigures({ ...helium, backgroundPressure: 1e-4 });
  expect(thin.reasons.mach_disk_m).toMatch(/mean free path of the background, 197 m, is longer/);
});

test("a steady argon jet into 10 Pa has a disk, which shields it and ends it", () => {
  const figures = jetFigures(argon);
  // 0.67 · 0.2 mm · 100 = 13.4 mm.
  expect(figures.mach_disk_m).toBeCloseTo(13.4e-3, 9);
  expect(figures.skimmer_advice.to_m).toBe(figures.mach_disk_m);
  expect(figures.skimmer!.mach).not.toBeNull();
  expect(figures.reasons["skimmer.background_loss"]).toMatch(/keeps the background gas out/);
  expect(figures.advice.join(" ")).toMatch(/The Mach disk stands 13.4 mm from the hole/);
  const behind = jetFigures({ ...argon, skimmerDistance: 20e-3 });
  expect(behind.skimmer!.mach).toBeNull();
  expect(behind.reasons["interaction.arrival_time_s"]).toBe("behind the Mach disk");
  expect(ids(behind)).toContain("jet.skimmer_behind_disk");
  expect(figures.interaction!.mach).not.toBeNull();
  expect(jetFigures({ ...argon, skimmerDistance: null }).interaction!.mach).toBeNull();
});

test("the skimmer may stand from the freezing surface to a tenth lost, where there is such a place", () => {
  const figures = jetFigures(helium);
  const { from_m, to_m } = figures.skimmer_advice;
  expect(from_m).toBe(figures.freezing_distance_m);
  expect(to_m!).toBeGreaterThan(from_m!);
  expect(jetFigures({ ...helium, skimmerDistance: to_m! }).skimmer!.background_loss).toBeCloseTo(
    0.1,
    9,
  );
  expect(figures.advice[0]).toMatch(/^Put the skimmer beyond 27.1 mm, where the jet freezes/);
  const crowded = jetFigures({ ...helium, backgroundPressure: 0.15 });
  expect(crowded.advice[0]).toMatch(/^The jet freezes only at 27.1 mm, not before/);
  expect(ids(jetFigures({ ...helium, backgroundPressure: 0.15 }))).toContain("jet.background");
});

test("cautions come with what they are about, and only then", () => {
  expect(ids(jetFigures(helium))).toEqual(["jet.skimmer_in_dense_jet", "jet.skimmer_knudsen"]);
  const far = { ...helium, skimmerDistance: 40e-3, skimmerDiameter: 0.2e-3 };
  expect(ids(jetFigures(far))).toEqual([]);
  expect(ids(jetFigures({ ...far, pulse: 5e-6 }))).toEqual(["jet.pulse_short"]);
  expect(jetFigures({ ...far, pulse: 1e-6 }).cautions[0]!.text).toMatch(
    /is shorter than the 1.48 μs/,
  );
  expect(ids(jetFigures({ ...far, gas: gasNamed("N2") }))).toContain("jet.rotation");
  expect(ids(jetFigures({ ...far, sourcePressure: 5e3 }))).toContain("jet.source_thin");
  const clusters = jetFigures({ ...far, gas: gasNamed("Ar"), sourcePressure: 60e5 });
  expect(clusters.condensation).toBe("clusters");
  expect(ids(clusters)).toContain("jet.condensation");
  expect(ids(clusters)).toContain("jet.real_gas");
  const cone = jetFigures({ ...far, nozzle: { form: "cone", halfAngle: 0.0873 } });
  // 0.736 · 0.15 mm/tan 5°.
  expect(cone.equivalent_diameter_m).toBeCloseTo(1.261e-3, 5);
  expect(ids(cone)).toContain("jet.cone");
});

test("hydrogen's rotation leaves the speed between those of 5/3 and of its own γ", () => {
  const { cautions } = jetFigures({ ...helium, gas: gasNamed("H2") });
  const { slowest_m_s, fastest_m_s } = cautions.find(({ id }) => id === "jet.rotation")!.values;
  // √(5 R T0/M) at 295 K, by hand.
  expect(slowest_m_s).toBeCloseTo(Math.sqrt((5 * 8.31446261815324 * 295) / 2.01588e-3), 6);
  expect(fastest_m_s).toBeCloseTo(2905.5, 0);
});

test("the profile runs past what is marked and ends at a disk", () => {
  const { profile } = jetFigures(helium);
  const columns = Object.values(profile!);
  for (const column of columns) expect(column).toHaveLength(161);
  expect(profile!.distance_m.at(-1)!).toBeCloseTo(0.45, 9);
  expect(Math.min(...profile!.temperature_K)).toBe(profile!.temperature_K.at(-1));
  const shocked = jetFigures({ ...argon, skimmerDistance: null });
  expect(shocked.profile!.distance_m.at(-1)!).toBeCloseTo(13.4e-3, 9);
});

test("what has no meaning is refused by name", () => {
  expect(() => jetFigures({ ...helium, sourcePressure: 0 })).toThrow(/pressure .* got 0/);
  expect(() => jetFigures({ ...helium, backgroundPressure: -1 })).toThrow(/backgroundPressure/);
  expect(() => jetFigures({ ...helium, pulse: 0 })).toThrow(/pulse must be finite and above 0/);
  expect(() => jetFigures({ ...helium, skimmerDistance: Number.NaN })).toThrow(/skimmerDistance/);
  const flat = { form: "cone", halfAngle: 1.2 } as const;
  expect(() => jetFigures({ ...helium, nozzle: flat })).toThrow(/half angle/);
});
