import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, sep } from "node:path";
import ts from "typescript";
import { expect, test } from "vitest";

const SRC = join(import.meta.dirname, "..", "src");

/** Each folder imports only from folders on its left, and from itself. */
const ORDER = ["units", "numerics", "physics", "design", "sheet"].concat([
  "bench",
  "studies",
  "report",
]);

/** Rooms that may import every folder of the order; nothing imports them, but the command its server. */
const SHELLS = ["server", "cli", "page"];

/** What of the server knows files and ports; its handlers go from Request to Response. */
const HOST_FILES = ["fileRefusal", "folderFile", "folderStore", "folderWatch", "pageFolder"]
  .concat(["run", "writeWhole"])
  .map((name) => `server/${name}.ts`);

/** Packages that a core folder may import; none where it is not named. */
const PACKAGES: Record<string, string[]> = {
  numerics: ["fft.js", "ml-matrix", "pure-rand"],
  design: ["yaml"],
  bench: ["fflate"],
  report: [],
};

/**
 * Names of clocks, chance, talk and hosts: arithmetic has no use for them. What a page offers
 * (document, window) does not exist for the core project's compiler.
 */
const FORBIDDEN = new Set([
  "Date",
  "console",
  "process",
  "globalThis",
  "Promise",
  "performance",
  "setTimeout",
  "setInterval",
  "fetch",
  "Buffer",
  "require",
]);

interface Module {
  /** Path below src, with "/". */
  path: string;
  folder: string;
  imports: string[];
  forbidden: string[];
}

/** Everything in one file that concerns the walls. */
function inspect(file: string): Module {
  const path = relative(SRC, file).split(sep).join("/");
  return inspectText(path, readFileSync(file, "utf8"));
}

function inspectText(path: string, text: string): Module {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.ES2022);
  const imports: string[] = [];
  const forbidden: string[] = [];
  const visit = (node: ts.Node): void => {
    const names = ts.isImportDeclaration(node) || ts.isExportDeclaration(node);
    if (names && node.moduleSpecifier && ts.isStringLiteral(node.moduleSpecifier)) {
      imports.push(node.moduleSpecifier.text);
    }
    if (ts.isImportTypeNode(node)) imports.push(node.argument.getText(source).slice(1, -1));
    if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      forbidden.push("import()");
    }
    if (node.kind === ts.SyntaxKind.AsyncKeyword) forbidden.push("async");
    if (ts.isAwaitExpression(node)) forbidden.push("await");
    if (ts.isPropertyAccessExpression(node) && node.getText(source) === "Math.random") {
      forbidden.push("Math.random");
    }
    if (ts.isIdentifier(node) && FORBIDDEN.has(node.text) && isGlobal(node)) {
      forbidden.push(node.text);
    }
    ts.forEachChild(node, (child) => {
      parents.set(child, node);
      visit(child);
    });
  };
  const parents = new Map<ts.Node, ts.Node>();
  /** "x.process" and "{process: 1}" only name a property. */
  const isGlobal = (node: ts.Identifier): boolean => {
    const parent = parents.get(node);
    if (!parent) return true;
    if (ts.isPropertyAccessExpression(parent)) return parent.expression === node;
    if (ts.isPropertyAssignment(parent)) return parent.initializer === node;
    return !ts.isPropertySignature(parent) && !ts.isTypeReferenceNode(parent);
  };
  visit(source);
  const cut = path.indexOf("/");
  return { path, folder: cut < 0 ? "" : path.slice(0, cut), imports, forbidden };
}

/** What a module does that its folder may not. */
function breaches({ path, folder, imports, forbidden }: Module): string[] {
  const rank = ORDER.indexOf(folder);
  const found: string[] = [];
  for (const name of imports) {
    if (!name.startsWith(".")) {
      if (rank >= 0 && name.startsWith("node:")) found.push(`${path} imports ${name}`);
      else if (rank >= 0 && !allowedPackage(name, folder)) found.push(`${path} imports ${name}`);
      else if (hostOfHandler(name, path)) found.push(`${path} imports ${name}`);
      continue;
    }
    const target = join(dirname(path), name).split(sep).join("/");
    const to = target.includes("/") ? target.slice(0, target.indexOf("/")) : "";
    if (to === folder) continue;
    const toRank = ORDER.indexOf(to);
    if (rank >= 0 && (toRank < 0 || toRank > rank)) found.push(`${path} imports ${target}`);
    const shell = SHELLS.includes(folder) && toRank < 0 && to !== "";
    if (shell && !(folder === "cli" && to === "server")) found.push(`${path} imports ${target}`);
    if (folder === "" && toRank < 0) found.push(`${path} imports ${target}`);
  }
  if (rank >= 0) found.push(...forbidden.map((what) => `${path} uses ${what}`));
  return found;
}

function allowedPackage(name: string, folder: string): boolean {
  return (PACKAGES[folder] ?? []).some((known) => name === known || name.startsWith(`${known}/`));
}

/** A handler of the server that imports what only a host has. */
function hostOfHandler(name: string, path: string): boolean {
  const host = name.startsWith("node:") || name === "@hono/node-server";
  const tests = path.endsWith(".test-data.ts");
  return host && path.startsWith("server/") && !tests && !HOST_FILES.includes(path);
}

const modules = readdirSync(SRC, { recursive: true, encoding: "utf8" })
  .filter((name) => /\.tsx?$/.test(name) && !/\.(test|cases)\.tsx?$/.test(name))
  .map((name) => inspect(join(SRC, name)));

test("each folder imports only from its left", () => {
  expect(modules.length).toBeGreaterThan(20);
  expect(modules.flatMap(breaches)).toEqual([]);
});

test("every folder of src stands in the order, or is a shell", () => {
  const folders = new Set(modules.map(({ folder }) => folder).filter((folder) => folder !== ""));
  for (const folder of folders) expect([...ORDER, ...SHELLS]).toContain(folder);
});

test("a breach is found and its file named", () => {
  const of = (path: string, text: string) => breaches(inspectText(path, text));
  expect(of("units/a.ts", 'import { b } from "../physics/b.ts";')).toEqual([
    "units/a.ts imports physics/b.ts",
  ]);
  expect(of("physics/a.ts", 'import type { B } from "../design/b.ts";')).toHaveLength(1);
  expect(of("physics/tables/a.ts", 'export { b } from "../../sheet/b.ts";')).toHaveLength(1);
  expect(of("report/a.ts", 'import { b } from "../cli/b.ts";')).toHaveLength(1);
  expect(of("server/a.ts", 'import { b } from "../cli/b.ts";')).toHaveLength(1);
  expect(of("page/views/a.tsx", 'import { b } from "../../server/b.ts";')).toHaveLength(1);
  expect(of("cli/a.ts", 'import { b } from "../page/b.ts";')).toHaveLength(1);
  expect(of("server/guard.ts", 'import { readFileSync } from "node:fs";')).toHaveLength(1);
  expect(of("server/app.ts", 'import { serve } from "@hono/node-server";')).toHaveLength(1);
  expect(of("index.ts", 'export { b } from "./cli/b.ts";')).toHaveLength(1);
  expect(of("units/a.ts", 'import { readFileSync } from "node:fs";')).toHaveLength(1);
  expect(of("physics/a.ts", 'import { Matrix } from "ml-matrix";')).toHaveLength(1);
  expect(of("numerics/a.ts", "export const a = Math.random();")).toEqual([
    "numerics/a.ts uses Math.random",
  ]);
  expect(of("units/a.ts", "export const a = new Date();")).toHaveLength(1);
  expect(of("units/a.ts", "console.log(1);")).toHaveLength(1);
  expect(of("units/a.ts", "export async function a() { await 1; }")).toHaveLength(2);
  expect(of("units/a.ts", 'import("./b.ts");')).toHaveLength(1);
});

test("what is allowed is let through", () => {
  const of = (path: string, text: string) => breaches(inspectText(path, text));
  expect(of("physics/tables/a.ts", 'import { b } from "../sourced.ts";')).toEqual([]);
  expect(of("physics/a.ts", 'import { b } from "../units/b.ts"; // Date, console')).toEqual([]);
  expect(of("numerics/a.ts", 'import { b } from "pure-rand/generator/b";')).toEqual([]);
  expect(of("sheet/a.ts", "export const a = { process: 1 }.process;")).toEqual([]);
  expect(of("cli/a.ts", 'import { b } from "../server/b.ts";')).toEqual([]);
  expect(of("server/run.ts", 'import { createServer } from "node:http";')).toEqual([]);
  expect(of("server/a.ts", 'import { Hono } from "hono/tiny";')).toEqual([]);
  expect(of("cli/a.ts", 'import { b } from "../report/b.ts"; import fs from "node:fs";')).toEqual(
    [],
  );
});
