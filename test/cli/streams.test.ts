import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { COMMANDS } from "../../src/cli/options.ts";
import {
  BROKEN,
  MAIN,
  SHORT_OF_SWING,
  STRIP,
  scratch,
  spawned,
  staged,
  WITH_WARNING,
} from "./support.ts";

const ESC = "\u001b";

test("stdout carries the result alone, stderr the rest", async () => {
  const warned = await staged(["check", "-"], { stdin: WITH_WARNING });
  expect(warned.out.startsWith("MET")).toBe(true);
  expect(warned.out).not.toContain("note:");
  expect(warned.err).toContain("note:");
  const refused = await staged(["check", "-"], { stdin: BROKEN });
  expect(refused.out).toBe("");
  const svg = await staged(["check", "-", "--svg", join(scratch(), "new")], { stdin: STRIP });
  expect(svg.out.startsWith("MET")).toBe(true);
  expect(svg.err).toContain("side-view");
});

test("--quiet leaves stderr to errors", async () => {
  const warned = await staged(["check", "-", "--quiet"], { stdin: WITH_WARNING });
  expect(warned.err).toBe("");
  const refused = await staged(["check", "-", "--quiet"], { stdin: BROKEN });
  expect(refused.err).toContain("strip.width");
});

test("colour only on a terminal that wants it", async () => {
  const check = (words: string[], stage: Parameters<typeof staged>[1]) =>
    staged(["check", "-", ...words], { stdin: SHORT_OF_SWING, ...stage });
  expect((await check([], { terminal: true })).out).toContain(ESC);
  expect((await check([], {})).out).not.toContain(ESC);
  expect((await check(["--no-color"], { terminal: true })).out).not.toContain(ESC);
  expect((await check([], { terminal: true, env: { NO_COLOR: "1" } })).out).not.toContain(ESC);
  expect((await check([], { terminal: true, env: { NO_COLOR: "" } })).out).toContain(ESC);
  expect((await check([], { terminal: true, env: { TERM: "dumb" } })).out).not.toContain(ESC);
  expect((await check(["--json"], { terminal: true })).out).not.toContain(ESC);
});

test("the sheet keeps to the columns of the terminal, 80 to 100", async () => {
  for (const [columns, most] of [
    [200, 100],
    [90, 90],
    [40, 80],
  ] as const) {
    const { out } = await staged(["check", "-", "--no-color"], {
      stdin: STRIP,
      terminal: true,
      columns,
    });
    const widest = Math.max(...out.split("\n").map((line) => line.length));
    expect(widest).toBeLessThanOrEqual(most);
    expect(widest).toBeGreaterThan(most - 5);
  }
});

test("--ascii writes nothing but ASCII, whatever the command and outcome", async () => {
  const ascii = /^[\n\x20-\x7e]$/;
  const name = STRIP.replace("need:", "name: Küvette µ\nneed:");
  const tried: [string[], string][] = [
    [["check", "-"], name],
    [["check", "-", "--json"], name],
    [["check", "-", "--budget", "strip.swing_at_tip_m"], name],
    [["check", "-", "--dry-run"], name],
    [["check", "-"], WITH_WARNING],
    [["check", "-"], BROKEN.replace("brass", "bräss")],
    [["materials"], ""],
    [["materials", "µ"], ""],
    [["gases"], ""],
    [["schema"], ""],
    [["completion", "bash"], ""],
    [["completion", "zsh"], ""],
    [["completion", "fish"], ""],
  ];
  for (const [words, stdin] of tried) {
    const { out, err } = await staged([...words, "--ascii"], { stdin });
    expect(out + err).not.toBe("");
    expect(
      [...(out + err)].filter((char) => !ascii.test(char)),
      words.join(" "),
    ).toEqual([]);
  }
});

test("JSON in ASCII means the same", async () => {
  const stdin = STRIP.replace("need:", "name: Küvette\nneed:");
  const plain = await staged(["check", "-", "--json"], { stdin });
  const ascii = await staged(["check", "-", "--json", "--ascii"], { stdin });
  expect(JSON.parse(ascii.out)).toEqual(JSON.parse(plain.out));
  expect(ascii.out).not.toBe(plain.out);
});

test("a reader that goes away ends nothing with an error", () => {
  const path = join(scratch(), "unmet.reed.yaml");
  writeFileSync(path, SHORT_OF_SWING);
  const { stdout, stderr } = spawnSync(
    "bash",
    [
      "-c",
      `"${process.execPath}" "${MAIN}" check "${path}" --json | head -c 1; echo " \${PIPESTATUS[0]}"`,
    ],
    { encoding: "utf8" },
  );
  expect(stderr).toBe("");
  expect(stdout).toBe("{ 1\n");
});

test("help and version go to stdout, with an example, defaults and exit codes", async () => {
  const top = await staged(["--help"]);
  expect(top).toMatchObject({ code: 0, err: "" });
  for (const { name } of COMMANDS) expect(top.out).toContain(`  ${name}`);
  expect(top.out).toContain("130  interrupted");
  for (const row of COMMANDS) {
    const { code, out, err } = await staged([row.name, "--help"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toContain(row.examples[0]?.line);
    const unwrapped = out.replace(/\s+/g, " ");
    for (const option of row.options) {
      expect(out).toContain(option.flag);
      if (option.standard !== undefined)
        expect(unwrapped).toContain(`(default: ${option.standard})`);
    }
  }
});

test("a mistyped option or command names what was meant, on stderr alone", () => {
  const option = spawned(["check", "x", "--exit-zer"]);
  expect(option).toMatchObject({ code: 2, out: "" });
  expect(option.err).toContain("unknown option '--exit-zer'");
  expect(option.err).toContain("did you mean --exit-zero?");
  const command = spawned(["material"]);
  expect(command.err).toContain("did you mean materials?");
});
