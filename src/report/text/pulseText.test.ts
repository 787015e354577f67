import { expect, test } from "vitest";
import { writtenPulse, writtenTravel } from "../../../test/golden/pulseRun.ts";
import type { PulseResult } from "../../studies/pulseResult.ts";
import { widthOf } from "./lines.ts";
import { type PulseTextOptions, pulseText } from "./pulseText.ts";

const VALVE = writtenPulse();
const TRAVEL = writtenTravel();

/** The text of the written-down pulse with something of its result changed. */
function shown(change: (result: PulseResult) => void, options: PulseTextOptions = {}): string {
  const result = structuredClone(VALVE.run.result);
  change(result);
  return pulseText(VALVE.design, result, options);
}
const same = () => undefined;
const last = (result: PulseResult) => result.pulses.at(-1)!;

test("figures are those of the result, each with what it is counted from", () => {
  const text = shown(same);
  const pulse = last(VALVE.run.result);
  const micro = (x: number | null) => `${Number(((x ?? 0) * 1e6).toPrecision(4))}`;
  const line = (label: string) => text.split("\n").find((each) => each.startsWith(label)) ?? "";
  expect(line("opening delay")).toContain(
    `${micro(pulse.open_delay_s)} μs  from the gate edge to 50 % of this pulse's peak lift`,
  );
  expect(line("the same, static")).toContain(`${micro(pulse.open_delay_static_s)} μs`);
  expect(line("closing delay")).toContain(`${micro(pulse.close_delay_s)} μs  from the gate's end`);
  expect(line("peak lift ")).toContain("84 μm  200 μs after the gate edge; ");
  expect(line("satellite 1")).toContain(`${micro(pulse.satellites[0]!.from_s)} μs`);
  // 1 mol of anything is 6.02214076e23 molecules, and 24.37 mbar·m³ at 20 °C (R T, CODATA 2018).
  const { amount_mol } = pulse.gas!;
  const dose = /molecules; ([\d.e−]+) mbar·l at 20 °C/.exec(text)![1]!.replace("−", "-");
  expect(Number(dose)).toBeCloseTo(amount_mol * 8.314462618 * 293.15 * 10, 6);
  const molecules = Number(/([\d.e]+) molecules/.exec(text)![1]);
  expect(molecules / (amount_mol * 6.02214076e23)).toBeCloseTo(1, 3);
});

test("no line is wider than the columns, in ASCII nothing else is written", () => {
  const full = (result: PulseResult) => {
    result.pulses = Array.from({ length: 40 }, (_, k) => ({ ...last(result), number: k + 1 }));
    result.drive.pulses = 40;
    result.drive.rate_Hz = 500;
    result.surprises = [
      { id: "lifted rail", rail: "bias", text: "bias ".repeat(40), mend: "a bleeder of 1 MΩ" },
    ];
    result.convergence = [
      { figure: "peak lift", unit: "m", value: 1e-5, at_half_step: 2e-5, difference: 1e-5 },
    ];
  };
  for (const columns of [80, 91, 100])
    for (const ascii of [false, true]) {
      const text = shown(full, { columns, ascii, pictures: "reedlift pulse x --svg FOLDER" });
      for (const line of text.split("\n")) expect(widthOf(line)).toBeLessThanOrEqual(columns);
      if (ascii) expect(text).toMatch(/^[\n\x20-\x7e]*$/);
    }
});

test("a strip without a seat has travel, and says that no gas passes", () => {
  const text = pulseText(TRAVEL.design, TRAVEL.run.result);
  expect(text).toContain("peak travel");
  expect(text).toMatch(/^gas +none {2}the design has no seat$/m);
  for (const word of [/\blift\b/, /on the seat/, /satellite/]) expect(text).not.toMatch(word);
});

test("what makes figures doubtful is a caution with what to do", () => {
  const cases: [(result: PulseResult) => void, RegExp][] = [
    [
      (result) => {
        last(result).stays_open = true;
      },
      /! the valve is still open when the computed time ends[\s\S]*longer --duration/,
    ],
    [
      (result) => {
        last(result).stays_open = true;
        result.drive.rate_Hz = 1000;
      },
      /! the valve does not close within its period[\s\S]*lower rate/,
    ],
    [
      (result) => {
        last(result).satellites = [{ from_s: 1e-3, to_s: null, lift_m: 1e-6, gas_mol: 0 }];
      },
      /a satellite is still open when/,
    ],
    [
      (result) => {
        last(result).peak_lift_m = 0;
      },
      /! the valve does not open/,
    ],
    [
      (result) => {
        result.start.contact_force_N = 0;
      },
      /! the pad does not press on the seat before the gate/,
    ],
    [
      (result) => {
        result.audit.relative = 0.034;
      },
      /energy audit leaves 3\.4 % open[\s\S]*smaller --step/,
    ],
    [
      (result) => {
        result.convergence = [
          {
            figure: "peak flow",
            unit: "mol/s",
            value: 1e-4,
            at_half_step: 1.1e-4,
            difference: 1e-5,
          },
        ];
      },
      /peak flow changes by 10 % at half the step/,
    ],
    [
      (result) => {
        result.drive.gate_s = null;
        result.drive.closing_from_s = null;
      },
      /this drive has no end to count from/,
    ],
  ];
  expect(shown(same)).not.toContain("Cautions ─");
  for (const [change, words] of cases) {
    const text = shown(change);
    expect(text).toContain("Cautions ─");
    expect(text).toMatch(words);
  }
});

test("what a rail does stands with its mend, or that none was found", () => {
  const rail = { id: "sagging rail", rail: "bias", text: "bias sags by 5 V" } as const;
  const mended = shown((result) => {
    result.surprises = [{ ...rail, mend: "a storage of 4.7 μF" }];
  });
  expect(mended).toMatch(/! bias sags by 5 V\n {4}a storage of 4\.7 μF/);
  const not = shown((result) => {
    result.surprises = [{ ...rail, mend: null }];
  });
  expect(not).toContain("no change of one component was found");
});

test("the audit lists what counts, largest first, and names the rest", () => {
  const text = shown(same);
  const part = text.slice(text.indexOf("Where the energy went"));
  const places = ["supplies", "series resistors", "bleeder", "ceramic hysteresis", "pad "].map(
    (name) => part.indexOf(`\n${name}`),
  );
  expect([...places].sort((a, b) => a - b)).toEqual(places);
  expect(part).toMatch(/Below a millionth:\sstrip, moving\./);
  expect(part).toMatch(/^together +940 μJ +930 μJ +9\.5 μJ$/m);
  expect(part).toContain("Left open by the computation: 526 nJ, 0.056 %");
});

test("a figure that does not exist is none with its reason", () => {
  const text = shown((result) => {
    Object.assign(last(result), {
      stays_open: true,
      close_delay_s: null,
      first_contact_s: null,
    });
  });
  expect(text).toMatch(/^closing delay +none {2}still open at the end of the computed time$/m);
  expect(text).toMatch(/^speed at the seat +none {2}still open at the end/m);
});

test("a train that alternates or has not settled says so", () => {
  const train = (amounts: readonly number[]) =>
    shown((result) => {
      const pulse = last(result);
      result.pulses = amounts.map((amount_mol, k) => ({
        ...pulse,
        number: k + 1,
        gas: { ...pulse.gas!, amount_mol },
      }));
      result.drive.pulses = amounts.length;
      result.drive.rate_Hz = 500;
    });
  expect(train([3, 2.05, 2, 2.05, 2])).toMatch(
    /! the pulses alternate: the last one differs by 2\.5 %/,
  );
  expect(train([3, 2.6, 2.4, 2.3])).toMatch(
    /! the train has not settled: the last pulse differs by 4\.3 %/,
  );
  for (const steady of [
    [3, 2.1, 2.005, 2, 2],
    [3, 2],
  ])
    expect(train(steady)).not.toContain("Cautions");
});
