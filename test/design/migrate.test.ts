import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { parseDocumentText } from "../../src/design/document.ts";
import {
  MIGRATIONS,
  type Migration,
  migrateDocument,
  SCHEMA_VERSION,
} from "../../src/design/migrate.ts";
import { readDesign } from "../../src/design/readDesign.ts";

const VERSIONS = join(import.meta.dirname, "versions");

function parsed(text: string) {
  const result = parseDocumentText(text);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.parsed;
}

test("a sample of every released version is kept and still reads", () => {
  for (let version = 1; version <= SCHEMA_VERSION; version++) {
    const result = readDesign(readFileSync(join(VERSIONS, `v${version}.reed.yaml`), "utf8"));
    expect(result.ok && result.version).toBe(version);
  }
  expect(readdirSync(VERSIONS)).toHaveLength(SCHEMA_VERSION);
  expect(MIGRATIONS.map((step) => step.from)).toEqual(
    Array.from({ length: SCHEMA_VERSION - 1 }, (_, i) => i + 1),
  );
});

/** Two invented steps: a key renamed, then moved. */
const STEPS: readonly Migration[] = [
  {
    from: 2,
    what: "grip is called clamp",
    apply(document) {
      document.set("clamp", document.get("grip"));
      document.delete("grip");
    },
  },
  {
    from: 1,
    what: "jaws is called grip",
    apply(document) {
      document.set("grip", document.get("jaws"));
      document.delete("jaws");
    },
  },
];

test("a chain runs step by step from the file's version to the current one", () => {
  const one = migrateDocument(parsed("reedlift: 1 # old\njaws: 5 mm\n"), STEPS, 3);
  if (!one.ok) throw new Error("refused");
  expect(one.steps).toEqual(["jaws is called grip", "grip is called clamp"]);
  expect(one.version).toBe(1);
  expect(String(one.parsed.document)).toBe("reedlift: 3 # old\nclamp: 5 mm\n");
  const two = migrateDocument(parsed("reedlift: 2\ngrip: 5 mm\n"), STEPS, 3);
  expect(two.ok && two.steps).toEqual(["grip is called clamp"]);
  const three = migrateDocument(parsed("reedlift: 3\nclamp: 5 mm\n"), STEPS, 3);
  expect(three.ok && three.steps).toEqual([]);
});

test("a gap in the chain is a mistake of the program, not of the file", () => {
  expect(() => migrateDocument(parsed("reedlift: 1\n"), [STEPS[0] as Migration], 3)).toThrow(
    "no step from schema version 1",
  );
});

test("a newer file is refused and left as it is", () => {
  const text = "reedlift: 4 # newer\nclamp: {length: 5 mm}\n";
  const document = parsed(text);
  const result = migrateDocument(document, STEPS, 3);
  expect(result.ok ? null : result.problems[0]?.code).toBe("version-newer");
  expect(String(document.document)).toBe("reedlift: 4 # newer\nclamp: { length: 5 mm }\n");
  expect(document.text).toBe(text);
});

test.each(["0", "-1", "1.5", '"1"', "true", "[1]", "{}", "", "1e99"])(
  "%s is no version",
  (version) => {
    const result = migrateDocument(parsed(`reedlift: ${version}\n`));
    expect(result.ok ? null : result.problems[0]?.code).toMatch(/version-(invalid|newer)/);
  },
);
