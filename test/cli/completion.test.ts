import { spawnSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { FIGURES } from "../../src/cli/completion/words.ts";
import { COMMANDS } from "../../src/cli/options.ts";
import { readDesign } from "../../src/design/readDesign.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { exampleText, scratch, staged } from "./support.ts";

const has = (command: string) => spawnSync("bash", ["-c", `command -v ${command}`]).status === 0;

/** A folder with designs and other files, and the shell's script in it. */
async function stageFor(shell: string): Promise<string> {
  const folder = scratch();
  writeFileSync(join(folder, "first valve.reed.yaml"), "");
  writeFileSync(join(folder, "second.reed.json"), "");
  writeFileSync(join(folder, "notes.txt"), "");
  mkdirSync(join(folder, "pictures"));
  const { code, out, err } = await staged(["completion", shell]);
  expect({ code, err }).toEqual({ code: 0, err: "" });
  writeFileSync(join(folder, shell === "zsh" ? "_reedlift" : `reedlift.${shell}`), out);
  return folder;
}

/** What bash offers for a line whose last word is being typed. */
function inBash(folder: string, ...words: string[]): string[] {
  const quoted = words.map((word) => `'${word.replaceAll("'", "'\\''")}'`).join(" ");
  const script = `source ./reedlift.bash
COMP_WORDS=(${quoted}); COMP_CWORD=${words.length - 1}
_reedlift
printf '%s\\n' "\${COMPREPLY[@]}"`;
  const args = ["--norc", "--noprofile", "-c", script];
  const { stdout, stderr } = spawnSync("bash", args, { cwd: folder, encoding: "utf8" });
  expect(stderr).toBe("");
  return stdout.split("\n").filter((line) => line !== "");
}

test("bash completes commands, options, choices, files and names", async () => {
  const folder = await stageFor("bash");
  const offers = (...words: string[]) => inBash(folder, "reedlift", ...words);
  expect(offers("")).toEqual([...COMMANDS.map((row) => row.name), "--help", "--version"]);
  expect(offers("ch")).toEqual(["check"]);
  for (const row of COMMANDS)
    expect(offers(row.name, "--")).toEqual([...row.options.map((o) => o.flag), "--help"]);
  expect(offers("check", "--exit")).toEqual(["--exit-zero"]);
  expect(offers("completion", "")).toEqual(["bash", "zsh", "fish"]);
  expect(offers("check", "").sort()).toEqual([
    "first valve.reed.yaml",
    "pictures",
    "second.reed.json",
  ]);
  expect(offers("check", "--svg", "")).toEqual(["pictures"]);
  expect(offers("check", "x", "--tables", "n")).toEqual(["notes.txt"]);
  expect(offers("check", "x", "--budget", "seat.li")).toEqual(["seat.lift_open_m"]);
  expect(offers("check", "x", "--seed", "")).toEqual([]);
  expect(offers("gases", "K")).toEqual(["Kr"]);
  expect(offers("schema", "")).toEqual([]);
});

test("bash completes names with blanks, escaped or within a quote", async () => {
  const folder = await stageFor("bash");
  const offers = (word: string) => inBash(folder, "reedlift", "materials", word);
  expect(offers("soft c")).toEqual(["soft\\ ceramic", "soft\\ ceramic\\,\\ Navy\\ II"]);
  expect(offers("soft\\ c")).toEqual(["soft\\ ceramic", "soft\\ ceramic\\,\\ Navy\\ II"]);
  expect(offers("soft\\ ceramic\\,")).toEqual(["soft\\ ceramic\\,\\ Navy\\ II"]);
  expect(offers("'soft ceramic,")).toEqual(["soft ceramic, Navy II"]);
  expect(offers('"soft ceramic,')).toEqual(["soft ceramic, Navy II"]);
});

test.skipIf(!has("script"))("bash completes when the Tab key is pressed", async () => {
  const folder = await stageFor("bash");
  const typed = `source ./reedlift.bash; reedlift() { printf 'got <%s>' "$@"; echo; }
reedlift mater\tPTFE\t
reedlift materials "soft ceramic,\t
reedlift check fir\t
exit
`;
  const { stdout } = spawnSync("script", ["-qec", "bash --norc --noprofile -i", "/dev/null"], {
    cwd: folder,
    encoding: "utf8",
    input: typed,
    env: { ...process.env, TERM: "dumb", HISTFILE: "" },
  });
  expect(stdout).toContain("got <materials>got <PTFE sheet>");
  expect(stdout).toContain("got <materials>got <soft ceramic, Navy II>");
  expect(stdout).toContain("got <check>got <first valve.reed.yaml>");
});

test("the bash script starts no process while one types a word", async () => {
  const folder = await stageFor("bash");
  const script = `source ./reedlift.bash; PATH=; COMP_WORDS=(reedlift materials so); COMP_CWORD=2
before=$BASHPID; _reedlift; printf '%s\\n' "\${COMPREPLY[@]}"`;
  const { stdout, stderr } = spawnSync("bash", ["--norc", "-c", script], {
    cwd: folder,
    encoding: "utf8",
  });
  expect(stderr).toBe("");
  expect(stdout).toContain("soft\\ ceramic");
});

test.skipIf(!has("zsh"))("zsh takes the script and completes with it", async () => {
  const folder = await stageFor("zsh");
  // A pseudo-terminal of zsh's own: types a line, presses Tab, and shows what stands then.
  const script = `zmodload zsh/zpty
zpty -b z zsh -f -i
say() { zpty -w z "$1"; }
say "PS1='> '; unset zle_bracketed_paste"
say "fpath=(\\$PWD \\$fpath); autoload -Uz compinit; compinit -u -d ./dump"
say "reedlift() { print -r -- got \\"<\\\${(j:><:)@}>\\" }"
press() { zpty -n -w z "$1"; sleep 1.2; zpty -n -w z $'\\n'; sleep 0.3 }
press $'reedlift mater\\tPTFE\\t'
press $'reedlift check fir\\t'
press $'reedlift check x --exit\\t'
press $'reedlift completion fi\\t'
say "exit"
while zpty -r z line; do print -rn -- "$line"; done`;
  const { stdout } = spawnSync("zsh", ["-f", "-c", script], {
    cwd: folder,
    encoding: "utf8",
    env: { ...process.env, TERM: "dumb" },
  });
  expect(stdout).toContain("got <materials><PTFE sheet>");
  expect(stdout).toContain("got <check><first valve.reed.yaml>");
  expect(stdout).toContain("got <check><x><--exit-zero>");
  expect(stdout).toContain("got <completion><fish>");
});

test.skipIf(!has("fish"))("fish takes the script and completes with it", async () => {
  const folder = await stageFor("fish");
  const offers = (line: string) => {
    const { stdout, stderr } = spawnSync(
      "fish",
      ["--no-config", "-c", `source ./reedlift.fish; complete -C ${JSON.stringify(line)}`],
      { cwd: folder, encoding: "utf8", env: { ...process.env, HOME: folder } },
    );
    expect(stderr).toBe("");
    return stdout.split("\n").flatMap((l) => (l === "" ? [] : [l.split("\t")[0] as string]));
  };
  for (const row of COMMANDS) expect(offers("reedlift ")).toContain(row.name);
  expect(offers("reedlift check --exit")).toEqual(["--exit-zero"]);
  expect(offers("reedlift completion ")).toEqual(["bash", "fish", "zsh"]);
  expect(offers("reedlift check fir")).toEqual(["first valve.reed.yaml"]);
  expect(offers("reedlift check ")).not.toContain("notes.txt");
  expect(offers("reedlift check --svg p")).toEqual(["pictures/"]);
  expect(offers("reedlift check --budget seat.li")).toEqual(["seat.lift_open_m"]);
  expect(offers("reedlift materials PT")).toEqual(["PTFE sheet"]);
  expect(offers("reedlift gases K")).toEqual(["Kr"]);
});

test("every figure offered after --budget is one of a sheet", () => {
  const read = readDesign(exampleText("first-valve"));
  if (!read.ok) throw new Error("the example can't be read");
  const { figures } = fullCheck(read.design, { window: false, waysOut: false });
  for (const figure of FIGURES) expect(figures).toContain(figure);
});
