import { expect, test } from "vitest";
import { readingText, readRecipe, recipeText } from "../../../src/bench/import/index.ts";
import { randomStream } from "../../../src/numerics/random.ts";
import { asked, columnsOf, faultsOf, imported } from "./read.ts";

const THREE = { time: [0, 1e-4, 2e-4], signal: [1.5, 2.5, 3.5] };

test("comma, semicolon, tab and blanks, with names and units in every usual place", () => {
  for (const text of [
    "Time (ms),CH1 [V]\n0,1.5\n0.1,2.5\n0.2,3.5\n",
    "t/ms;U/V\r\n0,0;1,5\r\n0,1;2,5\r\n0,2;3,5\r\n",
    "\ufefftime\tsignal\nms\tV\n0.0\t1.5\n0.1\t2.5\n0.2\t3.5\n",
    "  time   signal\n  ms     V\n  0.00   1.5\n  0.10   2.5\n  0.20   3.5\n",
    "Time (ms)   Signal (V)\n0 1.5\n1e-1 2.5\n2e-1 3.5\n",
    '"time (ms)";"signal (V)"\n"0,0";"1,5"\n"0,1";"2,5"\n"0,2";"3,5"\n',
    "# made by hand\n# time signal\n# ms V\n0 1.5\n.1 2.5\n.2 3.5\n",
    "recorder 7\nroom, 21\n\ntime in ms,signal in V\n0,1.5\n0.1,2.5\n0.2,3.5\n",
    "time (ms),signal (V),\n0,1.5,\n0.1,2.5,\n0.2,3.5,\n",
    "time (ms),signal (V)\r0,1.5\r0.1,2.5\r0.2,3.5\r",
    "time_ms,signal_mV\n0,1500\n0.1,2500\n0.2,3500\n",
  ])
    for (const chunk of [1, 5, 1 << 16])
      expect(columnsOf(imported(text, "", { chunk })), text).toEqual(THREE);
});

test("UTF-16 with its mark, and Latin-1 where a text is no UTF-8", () => {
  const text = "time (µs),signal (V)\n0,1.5\n100,2.5\n200,3.5\n";
  const wide = new Uint8Array(Buffer.from(`\ufeff${text}`, "utf16le"));
  expect(columnsOf(imported(wide, "", { chunk: 3 }))).toEqual(THREE);
  expect(columnsOf(imported(new Uint8Array(Buffer.from(text, "latin1"))))).toEqual(THREE);
});

test("quoted cells as in RFC 4180 section 2, rules 5 to 7", () => {
  const text = 'time (s),"signal, ""raw"" (V)",note\n0,"1.5","a,b"\n1,2.5,"say ""x"""\n2,3.5,\n';
  const result = imported(text);
  expect(columnsOf(result)).toEqual({ time: [0, 1, 2], signal: [1.5, 2.5, 3.5] });
  if (result.outcome !== "data") return;
  expect(result.reading.columns[1]).toMatchObject({ name: 'signal, "raw"', unit: "V" });
});

test("what can be read in two ways is asked, and the line given answers it", () => {
  const text = "t (s);U (V)\n1,234;2,345\n2,345;3,456\n";
  const result = imported(text);
  expect(asked(result)).toEqual({ decimal: ["decimal: comma", "groups: comma"] });
  expect(columnsOf(imported(text, "decimal: comma"))).toEqual({
    time: [1.234, 2.345],
    signal: [2.345, 3.456],
  });
  expect(columnsOf(imported(text, "groups: comma"))).toEqual({
    time: [1234, 2345],
    signal: [2345, 3456],
  });
});

test("a number that fits one reading only settles it", () => {
  const text = "t (s);U (V)\n0,000;2,345\n0,500;2,345\n2,345;3,456\n";
  expect(columnsOf(imported(text)).time).toEqual([0, 0.5, 2.345]);
  // A single line might be a fault, so that it settles nothing.
  const one = "t (s);U (V)\n0,000;2,345\n1,500;2,345\n2,345;3,456\n";
  expect(asked(imported(one)).decimal).toEqual(["decimal: comma", "groups: comma"]);
  const grouped = "t (s);U (V)\n1,234,567;2,345\n2,345,678;3,456.5\n";
  expect(columnsOf(imported(grouped)).signal).toEqual([2345, 3456.5]);
  const dots = "t (s);U (V)\n1.234;2.345\n2.345;3.456\n";
  expect(asked(imported(dots))).toEqual({ decimal: ["decimal: dot", "groups: dot"] });
});

test("one column with decimal commas or two columns: asked without names, settled by names", () => {
  const rows = "1,2\n3,4\n5,6\n";
  expect(asked(imported(rows)).delimiter).toEqual(["delimiter: comma", "delimiter: none"]);
  expect(columnsOf(imported(`time (s),signal (V)\n${rows}`)).signal).toEqual([2, 4, 6]);
  expect(asked(imported(`signal, V\n${rows}`)).delimiter).toHaveLength(2);
});

test("a unit that stands nowhere and a column that could be two are asked", () => {
  expect(asked(imported("t,U\n0,1.5\n1,2.5\n"))["time.unit"]).toEqual([
    "time.unit: s",
    "time.unit: ms",
  ]);
  const two = "time (s),A (V),B (V)\n0,1,2\n1,2,3\n";
  expect(asked(imported(two))).toEqual({
    "signal.column": ["signal.column: 2", "signal.column: 3"],
  });
  expect(columnsOf(imported(two, "signal.column: B")).signal).toEqual([2, 3]);
});

test("a first row that counts the columns may be names", () => {
  const text = "0,1\n0.5,1.5\n1.0,2.5\n2.0,3.5\n";
  expect(asked(imported(text)).names_row).toEqual(["names_row: 1", "names_row: 0"]);
  const units = "time.unit: s\nsignal.unit: V\ntime.column: 1\nsignal.column: 2\n";
  expect(columnsOf(imported(text, `${units}names_row: 1`)).time).toEqual([0.5, 1, 2]);
  expect(columnsOf(imported(text, `${units}names_row: 0`)).signal).toEqual([1, 1.5, 2.5, 3.5]);
});

test("a sample interval or rate above the data stands in for times", () => {
  for (const line of [
    "Sample Interval,1.0E-6,s",
    "Sampling interval: 1 µs",
    "# dt = 1 us",
    "Sample rate [MHz]: 1",
    "sampling rate;1 MSa/s",
    "Sample rate: 1000 kS/s",
  ]) {
    const result = imported(`${line}\nCH1\nV\n1.5\n2.5\n3.5\n`);
    expect(columnsOf(result), line).toEqual({ time: [0, 1e-6, 2e-6], signal: [1.5, 2.5, 3.5] });
    if (result.outcome === "data") expect(result.data.interval).toBe(1e-6);
  }
  expect(asked(imported("Sample interval,1e-6\nCH1\nV\n1.5\n2.5\n")).interval).toEqual([
    "interval: 1e-6 s",
    "interval: 1e-6 ms",
    "interval: 1e-6 us",
  ]);
  const rows = "CH1 (V)\n1.5\n2.5\n";
  expect(columnsOf(imported(rows, "interval: 500 kHz")).time).toEqual([0, 2e-6]);
});

const HEAD = "time (s),signal (V)\n";

test("each fault of a row is told with its row, and left out only when that is said", () => {
  const cases: [string, string, number, number][] = [
    ["0,1\n1,2,3\n2,3\n", "ragged", 3, 0],
    ["0,1\n1\n2,3\n", "ragged", 3, 0],
    ['0,1\n1,"2\n2,3\n', "ragged", 3, 0],
    ["0,1\n1,x\n2,3\n", "text", 3, 2],
    ["x,1\n1,2\n2,3\n", "text", 2, 1],
    ["0,1\n1,\n2,3\n", "empty", 3, 2],
    ["0,1\n1,NaN\n2,3\n", "not-finite", 3, 2],
    ["0,1\n1,-inf\n2,3\n", "not-finite", 3, 2],
    ["0,1\n1,9.9E+37\n2,3\n", "not-finite", 3, 2],
    ["0,1\n0,2\n2,3\n", "repeated-time", 3, 0],
    ["0,1\n1,2\n0.5,2\n2,3\n", "backward-time", 4, 0],
    ["0,1\n1,2\n2", "cut-off", 4, 0],
    ["0,1.25\n1,2.50\n2,3.75\n3,1.5", "cut-off", 5, 0],
  ];
  for (const [rows, fault, row, column] of cases) {
    const result = imported(HEAD + rows);
    expect(faultsOf(result), rows).toEqual([[fault, row, column]]);
    const used = imported(HEAD + rows, `leave_out: ${fault}`);
    expect(used.outcome, rows).toBe("data");
    if (used.outcome !== "data") continue;
    expect(used.passed.map((problem) => problem.fault)).toEqual([fault]);
    expect(used.data.rows).toBe(rows.trimEnd().split("\n").length - 1);
  }
});

test("rows that were left out keep their place in time when times come from an interval", () => {
  const text = "interval: 1 ms\nsignal (V)\n1\nx\n3\n4\n";
  const result = imported(text, "leave_out: text");
  expect(columnsOf(result)).toEqual({ time: [0, 2e-3, 3e-3], signal: [1, 3, 4] });
  if (result.outcome === "data") expect(result.data.interval).toBeNull();
});

test("rows are counted as lines of the file, with comments and blank lines between", () => {
  const text = `${HEAD}0,1\n\n# pause\n1,2\n2,x\n`;
  expect(faultsOf(imported(text))).toEqual([["text", 6, 2]]);
  const result = imported(text, "leave_out: text");
  if (result.outcome === "data") {
    expect(result.data.firstRow).toBe(2);
    expect(result.reading.notes).toContain("1 comment rows between the data");
  }
});

test("a comment is one also where its first cell would not be used", () => {
  const text = "x,time (s),signal (V)\n1,0,1\n#2,1,2\n3,2,3\n";
  expect(columnsOf(imported(text))).toEqual({ time: [0, 2], signal: [1, 3] });
});

test("a single row without line end may be cut anywhere", () => {
  expect(faultsOf(imported(`${HEAD}0,1`))).toEqual([["cut-off", 2, 0]]);
});

test("a last row without line end is used and said", () => {
  const result = imported(`${HEAD}0,1\n1,2`);
  expect(columnsOf(result).time).toEqual([0, 1]);
  if (result.outcome === "data")
    expect(result.reading.notes).toContain("the last row, 3, has no line end: it may be cut short");
});

const sine = (n: number, period: number, top: number) =>
  Array.from({ length: n }, (_, i) => {
    const v = Math.min(top, Math.round(100 * Math.sin((2 * Math.PI * i) / period)) / 100);
    return `${i},${v}`;
  }).join("\n");

test("a clipped signal is told, a level at rest is not", () => {
  expect(imported(`${HEAD}${sine(400, 80, 2)}\n`).outcome).toBe("data");
  expect(faultsOf(imported(`${HEAD}${sine(400, 80, 0.8)}\n`))).toEqual([["clipped", 14, 2]]);
  const used = imported(`${HEAD}${sine(400, 80, 0.8)}\n`, "use_as_is: clipped");
  expect(used.outcome).toBe("data");
  const settling = Array.from({ length: 300 }, (_, i) => {
    const v = i < 50 ? 0 : 1 - Math.exp(-(i - 50) / 12);
    return `${i},${(Math.round(v * 250) / 250).toFixed(3)}`;
  }).join("\n");
  expect(imported(`${HEAD}${settling}\n`).outcome).toBe("data");
});

test("a signal with too few samples a period is told", () => {
  expect(faultsOf(imported(`${HEAD}${sine(400, 6.3, 2)}\n`))).toEqual([["coarse", 9, 2]]);
});

test("noise about one level has no pulses that could be too short", () => {
  const noise = randomStream(3, 0);
  const rows = Array.from(
    { length: 600 },
    (_, i) => `${i},${(5 + 0.02 * noise.normal()).toFixed(3)}`,
  );
  expect(imported(`${HEAD}${rows.join("\n")}\n`).outcome).toBe("data");
});

test("a scale with a unit turns one quantity into another, an offset is added", () => {
  const text = "time (s),CH1 (mV)\n0,100\n1,200\n";
  expect(columnsOf(imported(text, "signal.scale: 10\nsignal.offset: -0.5 V")).signal).toEqual([
    0.5, 1.5,
  ]);
  const [first] = columnsOf(imported(text, "signal.scale: 2.5 um/V")).signal as [number];
  expect(first).toBeCloseTo(2.5e-7, 20);
  expect(faultsOf(imported(text, "signal.unit: Pa"))).toEqual([["choice", 0, 0]]);
});

test("what was found is kept as a recipe, which is refused where the layout is another one", () => {
  const text = "t;U\n1,234;2,345\n2,345;3,456\n";
  const first = imported(text, "decimal: comma\ntime.unit: ms\nsignal.unit: mV");
  if (first.outcome !== "data") throw new Error("no data");
  const kept = recipeText({ ...first.recipe, name: "lever bench" });
  const read = readRecipe(kept);
  expect(read).toEqual({ ok: true, recipe: { ...first.recipe, name: "lever bench" } });
  if (!read.ok) return;
  const { recipe } = read;
  expect(columnsOf(imported(text, "", { recipe })).signal).toEqual([0.002345, 0.003456]);
  const message = (other: string) => {
    const result = imported(other, "", { recipe });
    return result.outcome === "refused" ? result.problems[0]?.message : result.outcome;
  };
  expect(message("t;V\n1,234;2,345\n")).toMatch(/lever bench.*column 2 is U in it, here V/);
  expect(message("t;U/V\n1,234;2,345\n")).toMatch(/column 2 is in no unit in it, here in V/);
  expect(message("t,U\n1.5,2.5\n")).toMatch(/for semicolon, decimal comma, this file has comma/);
});

test("a recipe that can't be read is told with its lines", () => {
  const read = readRecipe("decimal: point\nfirst_row: 0\nsignal.scal: 3\nfoo: 1\n");
  expect(read.ok ? [] : read.problems.map(({ line, key }) => [line, key])).toEqual([
    [1, "decimal"],
    [2, "first_row"],
    [3, "signal.scal"],
    [4, "foo"],
  ]);
});

test("what was taken for what is told in words", () => {
  const result = imported("rig 4\nt/ms;U/V;T/°C\n0,0;1,5;20\n0,1;2,5;21\n");
  expect(result.reading === null ? [] : readingText(result.reading)).toEqual([
    "text, cells parted by semicolon, decimal comma",
    "preamble in row 1, names in row 2, data from row 3",
    'column 1: t, ms: time (named "t")',
    'column 2: U, V: signal (named "u")',
    "column 3: T, °C: not used",
    "1 of 3 columns not used",
  ]);
});

test("no text and no numbers are refused plainly", () => {
  expect(faultsOf(imported(""))).toEqual([["no-data", 0, 0]]);
  expect(faultsOf(imported("only words\nand more\n"))).toEqual([["no-data", 1, 0]]);
  expect(faultsOf(imported(Uint8Array.of(1, 0, 2, 0)))).toEqual([["binary", 0, 0]]);
});
