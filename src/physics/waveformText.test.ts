import fc from "fast-check";
import { expect, test } from "vitest";
import { zvSequence } from "./shaping.ts";
import { type SwitchCommand, switchedEdge, switchedPulse } from "./shapingSwitch.ts";
import { raisedCosineEdge, rampEdge, shapedWaveform } from "./waveform.ts";
import { pulseWaveform } from "./waveformPulse.ts";
import { sampledWaveform, sampleTime } from "./waveformSamples.ts";
import { type DriveTable, readDriveText } from "./waveformText.ts";
import { commandFile, gateEdges, timingFile, waveformFile } from "./waveformWrite.ts";

const ORIGIN = { design: "first valve", version: "1.2.3" };

function tableOf(text: string): DriveTable {
  const result = readDriveText(text);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.table;
}

function problemsOf(text: string) {
  const result = readDriveText(text);
  if (result.ok) throw new Error(`read as ${result.table.form}`);
  return result.problems;
}

const SAME: [string, string][] = [
  ["comma, SI", "time_s,voltage_V\n0,0\n12.5e-6,-150\n"],
  ["semicolon, decimal comma, brackets", "t [µs]; V\n0;0\n12,5;-150\n"],
  ["tab, parentheses", "t (us)\tvoltage (kV)\n0\t0\n12.5\t-0.15\n"],
  ["spaces, slash", "t / us   U / mV\n0  0\n12.5   -150000\n"],
  ["spaces, bracket apart", "t [us] U [V]\n0 0\n12.5 -150\n"],
  ["words", "time in ms,voltage in V\n0,0\n0.0125,-150\n"],
  ["units alone", "us;V\n0;0\n12.5;-150\n"],
  ["units in a row below", "time,voltage\nus,V\n0,0\n12.5,-150\n"],
  [
    "comments, empty lines, CRLF, mark of byte order",
    "\ufeff# made\r\n\r\n% so\r\ntime_us,voltage_V\r\n0,0\r\n// half\r\n12.5,-150\r\n",
  ],
  ["quotes and spaces", '"time_us" , "voltage_V"\n 0 , 0\n "12.5", -150\n'],
  ["other order", "voltage_V,time_us\n0,0\n-150,12.5\n"],
  ["typeset minus, leading point, plus", "time_us,voltage_V\n.0,+0\n1.25e+1,\u2212150\n"],
];

test.each(SAME)("reads %s", (_, text) => {
  const table = tableOf(text);
  expect(table.form).toBe("voltage");
  if (table.form !== "voltage") return;
  expect([...table.times]).toEqual([0, 12.5e-6]);
  expect([...table.voltages].map((v) => v + 0)).toEqual([0, -150]);
});

test("levels are shares, or percent where the header says so", () => {
  for (const text of [
    "time_ms,level\n0,0\n1,0.25\n",
    "time_ms,level_%\n0,0\n1,25\n",
    "time_ms,level_1\n0,0\n1,0.25\n",
    "t [ms];level [%]\n0;0\n1;25,0\n",
  ]) {
    const table = tableOf(text);
    if (table.form !== "level") throw new Error(table.form);
    expect([...table.levels]).toEqual([0, 0.25]);
    expect([...table.times]).toEqual([0, 0.001]);
  }
});

test("every number is the double next to what the text says", () => {
  // Read and then multiplied by 1e-6 it would be rounded twice.
  const decimal = fc
    .tuple(fc.integer({ min: 1, max: 999_999 }), fc.integer({ min: 0, max: 9 }))
    .map(([m, e]) => `${m}e-${e}`);
  fc.assert(
    fc.property(
      decimal,
      fc.constantFrom(["us", -6], ["ms", -3], ["ns", -9], ["s", 0]),
      (text, unit) => {
        const [symbol, shift] = unit as [string, number];
        const [m, e] = text.split("e");
        const table = tableOf(`time_${symbol},voltage_V\n0,0\n${text},1\n`);
        if (table.form !== "voltage") throw new Error(table.form);
        expect(table.times[1]).toBe(Number(`${m}e${Number(e) + shift}`));
      },
    ),
    { seed: 20261127, numRuns: 200 },
  );
  const minutes = tableOf("time_min,voltage_V\n0,0\n1.5,1\n");
  if (minutes.form === "voltage") expect(minutes.times[1]).toBe(90);
});

test("edges are read in any case", () => {
  expect(tableOf("time_us,state\n0,High\n9.5,off\n130,HIGH\n400,low\n")).toEqual({
    form: "edges",
    commands: [
      { time: 0, state: "high" },
      { time: 9.5e-6, state: "off" },
      { time: 130e-6, state: "high" },
      { time: 400e-6, state: "low" },
    ],
  });
});

const REFUSED: [what: string, text: string, line: number, message: string, allowed: string][] = [
  [
    "nothing",
    "# only a comment\n",
    0,
    "the text holds no header and no row",
    "a header: two columns, time and one of voltage, level, state; or channel, event, delay, uncertainty",
  ],
  [
    "no header",
    "0,0\n1,1\n",
    1,
    "the first row is no header",
    "time_s,voltage_V or time_s,level or time_s,state or channel,event,delay_s,uncertainty_s; units as in time_us, t [ms], voltage (kV)",
  ],
  [
    "a column that is not known",
    "time_s,current_A\n0,0\n",
    1,
    "the header names no column known here",
    "time_s,voltage_V or time_s,level or time_s,state or channel,event,delay_s,uncertainty_s; units as in time_us, t [ms], voltage (kV)",
  ],
  [
    "a small v, which names a voltage and no unit",
    "time_s,v\n0,0\n1,5\n",
    1,
    "the column states no unit",
    "voltage_V if 5 means 5 V, voltage_kV if it means 5 kV",
  ],
  [
    "a time without unit",
    "time,voltage_V\n0,0\n120,1\n",
    1,
    "the column states no unit",
    "time_s if 120 means 120 s, time_us if it means 120 us",
  ],
  [
    "a voltage without unit",
    "time_s,voltage\n0,0\n1,150\n",
    1,
    "the column states no unit",
    "voltage_V if 150 means 150 V, voltage_kV if it means 150 kV",
  ],
  [
    "m as a time",
    "time_m,voltage_V\n0,0\n1,1\n",
    1,
    "m as a unit of time has two readings, and means metre",
    "time_ms for milliseconds, time_min for minutes",
  ],
  [
    "megavolt",
    "time_s,voltage_MV\n0,0\n1,150\n",
    1,
    "MV is megavolt, which no strip bears; mV is millivolt",
    "voltage_mV if 150 means 150 mV, voltage_V with the numbers in volt",
  ],
  [
    "a lost letter",
    "t [\ufffds];voltage_V\n0;0\n1;1\n",
    1,
    "a letter of the unit is lost: the file is not in UTF-8",
    "time_us if it was µs, time_ms if it was ms",
  ],
  [
    "a wrong unit",
    "time_V,voltage_V\n0,0\n1,1\n",
    1,
    "V is no unit of a time",
    "write it in ms, ns, μs, s, min, h, d",
  ],
  [
    "thousands or decimals",
    "time_s;voltage_V\n0;0\n1;1,000\n",
    3,
    "the comma has two readings: a decimal mark, or a mark between thousands",
    "1.000 if it is a decimal mark, 1000 if it parts thousands",
  ],
  [
    "two decimal marks",
    "time_s;voltage_V\n0.5;0\n1;1,5\n",
    3,
    "points and commas both stand in numbers (0.5 in line 2)",
    "one decimal mark in the whole file, and no marks between thousands",
  ],
  [
    "a decimal comma among commas",
    "time_s,voltage_V\n0,0\n0,5,1\n",
    3,
    "3 columns where the header has 2: a comma parts columns here; for decimal commas part columns by semicolons",
    "2 columns: time_s, voltage_V",
  ],
  [
    "a level of 100",
    "time_s,level\n0,0\n1,100\n",
    3,
    "a level outside 0 to 1 has two readings",
    "level_% if 100 means 100 % of the swing, level_1 if it means 100 times the swing",
  ],
  [
    "a level in volt",
    "time_s,level_V\n0,0\n1,1\n",
    1,
    "a level is a share of the swing, not in V",
    "level (0 closed, 1 open) or level_%",
  ],
  [
    "a time that stands still",
    "time_s,voltage_V\n0,0\n1,1\n1,2\n",
    4,
    "the time does not rise above that of line 3",
    "times that rise from row to row",
  ],
  [
    "a unit in a cell",
    "time_s,voltage_V\n0,0\n1,5 V\n",
    3,
    "voltage_V is no plain number",
    "a plain number in V, as the header says",
  ],
  [
    "an uncertainty in a cell",
    "time_s,voltage_V\n0,0\n1,5(1)\n",
    3,
    "voltage_V is no plain number",
    "a plain number in V, as the header says",
  ],
  [
    "no number",
    "time_s,voltage_V\n0,0\n1,NaN\n",
    3,
    "voltage_V is no plain number",
    "a plain number in V, as the header says",
  ],
  [
    "an empty cell",
    "time_s,voltage_V\n0,0\n1,\n",
    3,
    "voltage_V is missing",
    "a plain number in V, as the header says",
  ],
  [
    "a huge number",
    "time_s,voltage_V\n0,0\n1,1e999\n",
    3,
    "voltage_V is too large",
    "a plain number in V, as the header says",
  ],
  ["one row", "time_s,voltage_V\n0,0\n", 1, "the table is too short", "at least 2"],
  ["a state that is none", "time_s,state\n0,open\n", 2, "no switch state", "high, low or off"],
  [
    "two times",
    "time_s,t_us\n0,0\n",
    1,
    "two columns hold a time",
    "time_s,voltage_V or time_s,level or time_s,state or channel,event,delay_s,uncertainty_s; units as in time_us, t [ms], voltage (kV)",
  ],
  [
    "columns that make no table",
    "time_s,channel\n0,a\n",
    1,
    "the columns make no table known here",
    "two columns, time and one of voltage, level, state; or channel, event, delay, uncertainty",
  ],
  [
    "a negative uncertainty",
    "channel,event,delay_s,uncertainty_s\na,on,0,-1\n",
    2,
    "an uncertainty is not negative",
    "0 s or more, or empty",
  ],
  [
    "a channel without name",
    "channel,event,delay_s,uncertainty_s\n,on,0,1\n",
    2,
    "the channel has no name",
    "a word",
  ],
];

test.each(REFUSED)("refuses %s", (_, text, line, message, allowed) => {
  const [first, ...others] = problemsOf(text);
  expect(first).toMatchObject({ line, message, allowed });
  expect(others).toEqual([]);
});

test("a comma that can only be decimal settles the whole file", () => {
  const table = tableOf("time_s;voltage_V\n0;0\n0,125;1,000\n2;1,5\n");
  if (table.form === "voltage") expect([...table.voltages]).toEqual([0, 1, 1.5]);
});

test("all problems come together, and beyond twenty their number", () => {
  const rows = Array.from({ length: 30 }, (_, i) => `${i},x${i}`).join("\n");
  const problems = problemsOf(`time_s,voltage_V\n${rows}\n`);
  expect(problems).toHaveLength(21);
  expect(problems[4]).toMatchObject({ line: 6, found: "x4" });
  expect(problems[20]).toMatchObject({ line: 0, message: "and 10 more problems" });
});

test("any text at all is read or refused, never thrown at", () => {
  const pieces = [
    "time_s",
    "voltage",
    "_V",
    ",",
    ";",
    "\t",
    " ",
    "\n",
    "0",
    "1.5",
    "1,5",
    '"',
    "[µs]",
    "(",
    "#",
    "high",
    "level",
    "e5",
    "-",
  ];
  fc.assert(
    fc.property(fc.array(fc.constantFrom(...pieces), { maxLength: 40 }), (some) => {
      const result = readDriveText(some.join(""));
      if (!result.ok) expect(result.problems.length).toBeGreaterThan(0);
    }),
    { seed: 20261127, numRuns: 3000 },
  );
});

test("a waveform file reads back as the same doubles", () => {
  const rate = fc.constantFrom(1e5, 1e6, 2.5e6, 1e7, 44_100, 333_333.3);
  const voltage = fc.double({ min: -400, max: 400, noNaN: true });
  fc.assert(
    fc.property(rate, voltage, voltage, (hertz, closed, open) => {
      const edge = shapedWaveform(raisedCosineEdge(3e-5, 1e-3), zvSequence(4000, 0.02));
      const sampled = sampledWaveform(pulseWaveform(edge, rampEdge(1e-5), 3e-4), hertz);
      const table = tableOf(waveformFile(sampled, closed, open, ORIGIN));
      if (table.form !== "voltage") throw new Error(table.form);
      expect(table.times).toHaveLength(sampled.levels.length);
      table.times.forEach((t, k) => {
        expect(t).toBe(sampleTime(sampled, k));
        expect(table.voltages[k]! + 0).toBe(closed + sampled.levels[k]! * (open - closed) + 0);
      });
    }),
    { seed: 20261127, numRuns: 40 },
  );
});

test("a waveform file says what it is, in a header that a reader skips", () => {
  const sampled = sampledWaveform(rampEdge(2e-6), 1e6);
  expect(waveformFile(sampled, 0, -150, { design: "a\nb", version: "1.2.3" })).toBe(
    [
      "# design: a b",
      "# written by reedlift 1.2.3",
      "# sample interval: 0.000001 s (1 MHz), 3 samples",
      "# closed: 0 V, open: -150 V",
      "time_s,voltage_V",
      "0,0",
      "0.000001,-75",
      "0.000002,-150",
      "",
    ].join("\n"),
  );
});

test("commands and a timing table read back as they were", () => {
  const output = { resistance: 470, capacitance: 22e-9 };
  const opening = switchedEdge(zvSequence(4000, 0.02), 4000, 0.02, "low", output);
  const closing = switchedEdge(zvSequence(5500, 0.05, 1), 5500, 0.05, "high", output);
  const commands = switchedPulse(opening, closing, 4e-4);
  expect(tableOf(commandFile(commands, ORIGIN))).toEqual({ form: "edges", commands });
  const rows = [
    ...gateEdges(commands, 3e-7, 2e-9),
    { channel: 'laser, "red"', event: "#1 fires; then", delay: -1e-3, uncertainty: null },
  ];
  expect(tableOf(timingFile(rows, ORIGIN))).toEqual({ form: "timing", rows });
});

test("gates of a half-bridge are never on together, and keep their dead time", () => {
  const commands: SwitchCommand[] = [
    { time: 0, state: "high" },
    { time: 1e-5, state: "off" },
    { time: 1e-4, state: "high" },
    { time: 3e-4, state: "low" },
  ];
  const rows = gateEdges(commands, 2e-7, null);
  expect(rows.map(({ channel, event, delay }) => [channel, event, delay])).toEqual([
    ["high", "on", 0],
    ["high", "off", 1e-5],
    ["high", "on", 1e-4],
    ["high", "off", 3e-4],
    ["low", "on", 3e-4 + 2e-7],
  ]);
  const short: SwitchCommand[] = [
    { time: 0, state: "high" },
    { time: 1e-5, state: "low" },
    { time: 1.01e-5, state: "off" },
  ];
  expect(() => gateEdges(short, 2e-7, null)).toThrow("less than the dead time of 2e-7 s");
  expect(() => gateEdges(short, -1, null)).toThrow("got -1");
});

test("what cannot be written is refused", () => {
  const row = { channel: "a", event: "on", delay: 0, uncertainty: null };
  expect(() => timingFile([{ ...row, delay: Number.NaN }], ORIGIN)).toThrow("finite: got NaN");
  expect(() => timingFile([{ ...row, uncertainty: -1 }], ORIGIN)).toThrow("got -1");
  expect(() => timingFile([{ ...row, channel: " " }], ORIGIN)).toThrow("name of a channel");
  expect(() => waveformFile(sampledWaveform(rampEdge(1), 10), 0, Infinity, ORIGIN)).toThrow(
    "finite",
  );
});
