import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { editDesign, type Path } from "./edit.ts";
import { noteAt, noteEdit } from "./notes.ts";

/** Every form that a value can stand in. */
const FORMS = `# of the file, at no key
reedlift: 1   # version
name: "x # y"  # quoted
other: 'it''s # z' #close
need: {gas: Ar, # first line
  rate: 10 Hz}   # last line
remark: |  # head of a text
  text # not a note
  more
strip:   # group
  width: 5 mm
  free_length: 9.0(1) mm  # µ, 你好, 🜁
  layers:
    - {material: brass}   # one key
    - {material: soft ceramic, thickness: 0.20(1) mm, top: "a # b"}  # three
    - material: glass     # block item
      thickness: 1 mm
bare:  # nothing there
plain: two
   lines # end of both
anchored: &x 5 mm # with anchor
folded: >-
  abc

list: [1, 2, # opened
 3] # closed
url: http://x#y
tab: 1\t# after a tab
last: 1 # no newline`;

/** Key, note, whether other keys share it; "" for none. */
const NOTES: [Path, string, boolean][] = [
  [["reedlift"], "version", false],
  [["name"], "quoted", false],
  [["other"], "close", false],
  [["need"], "last line", true],
  [["need", "gas"], "first line", false],
  [["need", "rate"], "last line", false],
  [["remark"], "head of a text", false],
  [["strip"], "group", false],
  [["strip", "width"], "", false],
  [["strip", "free_length"], "µ, 你好, 🜁", false],
  [["strip", "layers"], "", false],
  [["strip", "layers", 0], "one key", false],
  [["strip", "layers", 0, "material"], "one key", false],
  [["strip", "layers", 1], "three", true],
  [["strip", "layers", 1, "thickness"], "three", true],
  [["strip", "layers", 1, "top"], "three", true],
  [["strip", "layers", 2], "block item", false],
  [["strip", "layers", 2, "material"], "block item", false],
  [["strip", "layers", 2, "thickness"], "", false],
  [["bare"], "nothing there", false],
  [["plain"], "end of both", false],
  [["anchored"], "with anchor", false],
  [["folded"], "", false],
  [["list"], "closed", true],
  [["list", 0], "opened", true],
  [["list", 2], "closed", false],
  [["url"], "", false],
  [["tab"], "after a tab", false],
  [["last"], "no newline", false],
];
const LINE_ENDS: [string, (text: string) => string][] = [
  ["LF", (text) => text],
  ["CRLF", (text) => text.replaceAll("\n", "\r\n")],
  ["a byte order mark", (text) => `\ufeff${text}`],
];

function withNote(text: string, path: Path, note: string): string {
  const made = noteEdit(text, path, note);
  if (!made.ok) throw new Error(made.reason);
  const result = editDesign(text, made.edit);
  if (!result.ok) throw new Error(result.reason);
  expect(editDesign(result.text, result.inverse)).toMatchObject({ ok: true, text });
  return result.text;
}

test.each(LINE_ENDS)("the note of each key is found, with %s", (_, as) => {
  for (const [path, note, shared] of NOTES)
    expect([path, noteAt(as(FORMS), path)]).toEqual([path, { note, shared }]);
});

test.each(LINE_ENDS)("each note is changed and taken away again, with %s", (_, as) => {
  const text = as(FORMS);
  const meaning = parse(FORMS);
  for (const [path, before] of NOTES) {
    const changed = withNote(text, path, "new: {a #");
    expect([path, noteAt(changed, path)?.note]).toEqual([path, "new: {a #"]);
    expect(parse(changed)).toEqual(meaning);
    const lines = text.split("\n");
    const differing = changed.split("\n").filter((line, i) => line !== lines[i]);
    expect([path, differing.length, changed.split("\n").length]).toEqual([path, 1, lines.length]);
    expect(withNote(changed, path, before)).toBe(text);

    const bare = withNote(text, path, "");
    expect([path, noteAt(bare, path)?.note]).toEqual([path, ""]);
    expect(parse(bare)).toEqual(meaning);
    if (before !== "") expect(bare.length).toBeLessThan(text.length);
    else expect(bare).toBe(text);
  }
});

/** Text, key, note, text after. */
const EDITS: [string, string, string, string, string][] = [
  ["a new note stands two blanks after the value", "a: 1\n", "a", "x", "a: 1  # x\n"],
  ["the last line may lack its newline", "a: 1", "a", "x", "a: 1  # x"],
  ["blanks at the end of a line are taken up", "a: 1 \t \n", "a", "x", "a: 1  # x\n"],
  ["blanks before a note stay", "a: 1        # x\n", "a", "y", "a: 1        # y\n"],
  ["blanks after its mark stay", "a: 1 #   x  \n", "a", "y", "a: 1 #   y\n"],
  ["a mark without blanks stays so", "a: 1 #x\n", "a", "y", "a: 1 #y\n"],
  ["an empty mark is filled", "a: 1 #\nb: 2\n", "a", "y", "a: 1 # y\nb: 2\n"],
  ["a note goes with the blanks before it", "a: 1    # x\nb: 2\n", "a", "", "a: 1\nb: 2\n"],
  ["an empty mark goes too", "a: 1 #\n", "a", "", "a: 1\n"],
  ["line breaks become blanks", "a: 1\n", "a", " x\ny\r\nz\u2028w ", "a: 1  # x y z w\n"],
  ["no note at no note leaves every byte", "a: 1 \r\n", "a", " \n ", "a: 1 \r\n"],
  ["a # in quotes is no note", 'a: "b # c"\n', "a", "x", 'a: "b # c"  # x\n'],
  ["a # within a word is no note", "a: b#c\n", "a", "x", "a: b#c  # x\n"],
  [
    "a comment on a line of its own is no note",
    "# x\na: 1\n# y\n",
    "a",
    "z",
    "# x\na: 1  # z\n# y\n",
  ],
];

test.each(EDITS)("%s", (_, text, key, note, after) => {
  expect(withNote(text, [key], note)).toBe(after);
});

/** Text, key, words of the refusal. */
const REFUSED: [string, string, Path, RegExp][] = [
  ["a key that is not there", "a: 1\n", ["b"], /^b does not stand in the file; give it a value/],
  ["a way through what is no group", "a: 1\n", ["a", "b"], /does not stand in the file/],
  ["the whole file", "a: 1\n", [], /does not stand in the file/],
  ["a text that can't be read", "a: [\n", ["a"], /not readable as it is/],
  ["an empty text", "", ["a"], /does not stand in the file/],
  ["JSON", '{\n  "a": 1\n}\n', ["a"], /JSON has no place for notes; keep the design as YAML/],
  ["JSON with a mark", '\ufeff{"a": 1}', ["a"], /JSON has no place for notes/],
  [
    "a line that ends within a text",
    '{a: 1, b: "two\n lines"}\n',
    ["a"],
    /a has no room for a note/,
  ],
];

test.each(REFUSED)("refused with the reason: %s", (_, text, path, words) => {
  const made = noteEdit(text, path, "x");
  expect(made).toEqual({ ok: false, reason: expect.stringMatching(words) });
  if (!/no room/.test(words.source)) expect(noteAt(text, path)).toBeNull();
});

const EXAMPLES = join(import.meta.dirname, "..", "..", "examples");
const TEXTS = readdirSync(EXAMPLES)
  .filter((name) => name.endsWith(".reed.yaml"))
  .map((name) => readFileSync(join(EXAMPLES, name), "utf8"));

/** Every path of a parsed text. */
function pathsOf(node: unknown, path: Path = []): Path[] {
  if (typeof node !== "object" || node === null) return [path];
  const entries = Array.isArray(node) ? [...node.entries()] : Object.entries(node);
  const inner = entries.flatMap(([key, value]) => pathsOf(value, [...path, key]));
  return path.length > 0 ? [path, ...inner] : inner;
}

test("any note at any key of any example: it is there, and the file means the same", () => {
  const notes = fc.oneof(
    fc.string({ unit: "binary", maxLength: 40 }),
    fc
      .array(fc.constantFrom("#", " ", ":", "\n", "\r", "'", '"', "{", "µ", "\t", "|", "\0", "🜁"))
      .map((list) => list.join("")),
  );
  fc.assert(
    fc.property(
      fc.constantFrom(FORMS, ...TEXTS),
      fc.nat(),
      notes,
      fc.boolean(),
      (source, pick, note, crlf) => {
        const text = crlf ? source.replaceAll("\n", "\r\n") : source;
        const paths = pathsOf(parse(source));
        const path = paths[pick % paths.length] as Path;
        const after = withNote(text, path, note);
        expect(parse(after)).toEqual(parse(source));
        expect(after.split("\n").length).toBe(text.split("\n").length);
        // Same words, whatever blanks and breaks stood between them.
        const words = (given: string) =>
          given
            .replace(/[\s\p{Cc}\ufeff]+/gu, " ")
            .replace(/\p{Cs}/gu, "\ufffd")
            .trim();
        expect(words(noteAt(after, path)?.note ?? "")).toBe(words(note));
      },
    ),
    { numRuns: 400 },
  );
});
