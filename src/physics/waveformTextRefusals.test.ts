import { expect, test } from "vitest";
import { readDriveText } from "./waveformText.ts";

function problemsOf(text: string) {
  const result = readDriveText(text);
  if (result.ok) throw new Error(`read as ${result.table.form}`);
  return result.problems;
}

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
