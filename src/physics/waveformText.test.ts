import fc from "fast-check";
import { expect, test } from "vitest";
import { type DriveTable, readDriveText } from "./waveformText.ts";

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
