import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import { ROOT } from "./steps.mjs";

/*
 * dist/page/index.html and dist/page/assets/: the page, its worker, fonts, styles, the notes on the
 * computation. Every asset has its hash in its name and lies there compressed as well.
 */

const OUT = join(ROOT, "dist", "page");
const ASSETS = join(OUT, "assets");

const read = (...path) => readFileSync(join(ROOT, ...path), "utf8");
const hashed = (name, text) => {
  const [stem, end] = name.split(/\.(?=[^.]+$)/);
  return `${stem}-${createHash("sha256").update(text).digest("hex").slice(0, 10)}.${end}`;
};

/** Builds the page; `version` is shown in the origin of its pictures. */
export async function buildPage(version) {
  const { build } = await import("esbuild");
  rmSync(OUT, { recursive: true, force: true });
  mkdirSync(ASSETS, { recursive: true });
  const common = {
    absWorkingDir: ROOT,
    outdir: ASSETS,
    bundle: true,
    format: "esm",
    platform: "browser",
    target: ["es2022", "chrome110", "firefox115", "safari16.4"],
    jsx: "automatic",
    charset: "utf8",
    minify: true,
    legalComments: "none",
    entryNames: "[name]-[hash]",
    chunkNames: "part-[hash]",
    assetNames: "[name]-[hash]",
    loader: { ".woff2": "file" },
    define: { "process.env.NODE_ENV": '"production"' },
    metafile: true,
    logLevel: "warning",
  };
  const { metafile } = await build({
    ...common,
    entryPoints: {
      page: "src/page/main.tsx",
      worker: "src/page/worker/main.ts",
      "bench-style": "src/page/style/bench.css",
    },
    splitting: true,
  });
  // By itself, so that what the page loads first is not cut into more pieces.
  const bench = await build({
    ...common,
    entryPoints: { "bench-worker": "src/page/worker/bench.ts" },
  });
  const outputs = Object.entries({ ...metafile.outputs, ...bench.metafile.outputs });
  const made = (test) => `/assets/${basename(outputs.find(([path, out]) => test(path, out))[0])}`;
  const put = (name, text) => {
    const file = hashed(name, text);
    writeFileSync(join(ASSETS, file), text);
    return `/assets/${file}`;
  };
  const { toneStyles } = await toneModule(build);
  const values = {
    script: made((path, out) => out.entryPoint === "src/page/main.tsx" && path.endsWith(".js")),
    worker: made((_, out) => out.entryPoint === "src/page/worker/main.ts"),
    benchWorker: made((_, out) => out.entryPoint === "src/page/worker/bench.ts"),
    benchStyle: made((path) => /bench-style-[A-Z0-9]+\.css$/i.test(path)),
    style: made((path) => /page-[A-Z0-9]+\.css$/i.test(path)),
    font: made((path) => /plex-sans-Regular-Latin1-[A-Z0-9]+\.woff2$/i.test(path)),
    icon: put("icon.svg", read("src", "page", "icon.svg")),
    tones: put("tones.css", toneStyles()),
    theory: put("theory.json", JSON.stringify(await sections("theory.md"))),
    benchNotes: put("bench.json", JSON.stringify(await sections("bench.md"))),
    workerParts: partsOf(metafile, "src/page/worker/main.ts")
      .map((part) => `<link rel="modulepreload" href="${part}" />`)
      .join("\n    "),
    version,
  };
  const html = read("src", "page", "index.html").replace(/\{\{(\w+)\}\}/g, (_, key) => {
    if (!(key in values)) throw new Error(`index.html asks for ${key}`);
    return values[key];
  });
  writeFileSync(join(OUT, "index.html"), html);
  compress(OUT, ["index.html"]);
  const { readdirSync } = await import("node:fs");
  compress(ASSETS, readdirSync(ASSETS));
}

/** Addresses of everything that an entry loads before it runs, itself left out. */
function partsOf({ outputs }, entry) {
  const seen = new Set();
  const follow = (path) => {
    for (const { path: next, kind } of outputs[path].imports)
      if (kind === "import-statement" && !seen.has(next)) {
        seen.add(next);
        follow(next);
      }
  };
  follow(Object.keys(outputs).find((path) => outputs[path].entryPoint === entry));
  return [...seen].map((path) => `/assets/${basename(path)}`);
}

/** The module of tones, as the pictures use it. */
async function toneModule(build) {
  const { outputFiles } = await build({
    absWorkingDir: ROOT,
    entryPoints: ["src/report/figures/tones.ts"],
    bundle: true,
    format: "esm",
    write: false,
    logLevel: "warning",
  });
  return import(
    `data:text/javascript;base64,${Buffer.from(outputFiles[0].contents).toString("base64")}`
  );
}

function compress(folder, names) {
  for (const name of names) {
    if (/\.(woff2|gz|br)$/.test(name)) continue;
    const bytes = readFileSync(join(folder, name));
    writeFileSync(join(folder, `${name}.gz`), gzipSync(bytes, { level: 9 }));
    writeFileSync(
      join(folder, `${name}.br`),
      brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }),
    );
  }
}

/** A file of docs by section, each note followed by the equations that stand above its code. */
async function sections(name) {
  const { marked } = await import("marked");
  const [, ...parts] = read("docs", name).split(/^## /m);
  return parts.map((section) => {
    const [title, ...lines] = section.split("\n");
    const html = marked
      .parse(lines.join("\n"))
      .replace(
        /<p><strong>([^<]*\.ts[^<]*)<\/strong>([\s\S]*?)<\/p>/g,
        (note, files) => note + equations(files),
      );
    return { title, html };
  });
}

/** The comment blocks above the code of the files that a note names. */
function equations(files) {
  const names = files.split(/,\s*/).filter((name) => /^[\w]+\.ts$/.test(name));
  const texts = names.flatMap((name) => {
    const blocks = [...read("src", "physics", name).matchAll(/^\/\*(?!\*)\n([\s\S]*?)\*\//gm)];
    return blocks.map(([, body]) => body.replace(/^ \* ?/gm, "").trimEnd());
  });
  if (texts.length === 0) return "";
  const text = texts.join("\n\n").replaceAll("&", "&amp;").replaceAll("<", "&lt;");
  return `<details><summary>Equations</summary><pre>${text}</pre></details>`;
}
