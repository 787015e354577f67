import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { brotliCompressSync, brotliDecompressSync, gunzipSync, gzipSync } from "node:zlib";
import { expect, onTestFinished, test } from "vitest";
import { type PageFiles, pageAnswer } from "./pageFiles.ts";
import { pageFolder } from "./pageFolder.ts";

const SCRIPT = "console.log(1);\n".repeat(100);
const FILES: Record<string, Uint8Array> = {
  "index.html": Buffer.from("<!doctype html><title>µ</title>"),
  "assets/page-AB12CD34.js": Buffer.from(SCRIPT),
  "assets/page-AB12CD34.js.gz": gzipSync(SCRIPT),
  "assets/page-AB12CD34.js.br": brotliCompressSync(SCRIPT),
  "assets/plain.css": Buffer.from("a {}"),
  "assets/icon-0123456789.svg": Buffer.from("<svg/>"),
  "assets/sans-0123456789.woff2": Buffer.from("font"),
  "assets/unknown-0123456789.xyz": Buffer.from("?"),
  secret: Buffer.from("x"),
};

const page: PageFiles = {
  read: async (path) => (FILES[path] === undefined ? null : new Uint8Array(FILES[path])),
};
const ask = (path: string, accept?: string) =>
  pageAnswer(
    new Request(`http://127.0.0.1:4180${path}`, {
      headers: accept === undefined ? {} : { "Accept-Encoding": accept },
    }),
    page,
  );

test("the page itself is looked up each time, what has its hash in its name is kept", async () => {
  const kept = async (path: string) => (await ask(path)).headers.get("Cache-Control");
  expect(await kept("/")).toBe("no-cache");
  expect(await kept("/assets/page-AB12CD34.js")).toBe("public, max-age=31536000, immutable");
  expect(await kept("/assets/plain.css")).toBe("no-cache");
});

test("each kind of file has its type", async () => {
  const type = async (path: string) => (await ask(path)).headers.get("Content-Type");
  expect(await type("/")).toBe("text/html; charset=utf-8");
  expect(await type("/assets/page-AB12CD34.js")).toBe("text/javascript; charset=utf-8");
  expect(await type("/assets/plain.css")).toBe("text/css; charset=utf-8");
  expect(await type("/assets/icon-0123456789.svg")).toBe("image/svg+xml; charset=utf-8");
  expect(await type("/assets/sans-0123456789.woff2")).toBe("font/woff2");
  expect(await type("/assets/unknown-0123456789.xyz")).toBe("application/octet-stream");
});

const ACCEPTS: [string | undefined, string | null][] = [
  ["gzip, deflate, br, zstd", "br"],
  ["gzip", "gzip"],
  ["br;q=0, gzip", "gzip"],
  ["br; q=0.0, gzip; q=0.5", "gzip"],
  ["GZIP", "gzip"],
  ["*", "br"],
  ["identity", null],
  ["gzip;q=0", null],
  ["*;q=0", null],
  ["", null],
  [undefined, null],
];

test.each(ACCEPTS)("with Accept-Encoding %j it comes as %j", async (accept, encoding) => {
  const answer = await ask("/assets/page-AB12CD34.js", accept);
  const bytes = Buffer.from(await answer.arrayBuffer());
  expect(answer.headers.get("Content-Encoding")).toBe(encoding);
  expect(answer.headers.get("Vary")).toBe("Accept-Encoding");
  expect(answer.headers.get("Content-Length")).toBe(String(bytes.length));
  const plain =
    encoding === "br"
      ? brotliDecompressSync(bytes)
      : encoding === "gzip"
        ? gunzipSync(bytes)
        : bytes;
  expect(plain.toString()).toBe(SCRIPT);
});

test("a file that does not lie there compressed comes as it is", async () => {
  const answer = await ask("/assets/plain.css", "br, gzip");
  expect(answer.headers.get("Content-Encoding")).toBeNull();
  expect(answer.headers.get("Vary")).toBe("Accept-Encoding");
});

test("nothing but the page's files is given", async () => {
  for (const path of [
    "/secret",
    "/index.htm",
    "/assets/",
    "/assets/missing.js",
    "/assets/..%2fsecret",
    "/assets/%2e%2e%2fsecret",
    "/assets/../secret",
    "/assets/.hidden",
    "/assets/a/b.js",
    "/assets/a%5cb.js",
    "/assets/plain.css%00",
  ])
    expect([path, (await ask(path)).status]).toEqual([path, 404]);
});

test("a page that is not built says how to build it", async () => {
  const answer = await pageAnswer(new Request("http://127.0.0.1:4180/"), {
    read: async () => null,
  });
  expect(answer.status).toBe(404);
  expect(await answer.text()).toContain("npm run build");
});

test("the folder of the page gives its files, and nothing that a link leads out to", async () => {
  const above = mkdtempSync(join(tmpdir(), "reedlift-page-files-"));
  onTestFinished(() => rmSync(above, { recursive: true, force: true }));
  const folder = join(above, "page");
  mkdirSync(join(folder, "assets"), { recursive: true });
  writeFileSync(join(above, "secret"), "x");
  writeFileSync(join(folder, "index.html"), "µ");
  symlinkSync("../../secret", join(folder, "assets", "link.js"));
  const files = pageFolder(folder);
  expect(new TextDecoder().decode((await files.read("index.html")) ?? undefined)).toBe("µ");
  expect(await files.read("assets/link.js")).toBeNull();
  expect(await files.read("../secret")).toBeNull();
  expect(await files.read("assets")).toBeNull();
  expect(await pageFolder(join(above, "none")).read("index.html")).toBeNull();
});
