import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { chmodSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer, type Server } from "node:net";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { staged } from "../cli/support.ts";
import {
  designs,
  NAME,
  refused,
  type Serving,
  scratch,
  serve,
  serving,
  shipped,
  TEXT,
} from "./support.ts";

const hash = (text: string) => createHash("sha256").update(text, "utf8").digest("hex");
const ROOT_USER = process.getuid?.() === 0;

const put = (server: Serving, name: string, text: string, over: string | null) =>
  fetch(new URL(`/api/design/${name}`, server.url), {
    method: "PUT",
    body: text,
    headers: {
      "X-Reedlift": "1",
      "Content-Type": "text/plain; charset=utf-8",
      ...(over === null ? { "If-None-Match": "*" } : { "If-Match": `"${hash(over)}"` }),
    },
  });

test("serves page and designs, says where on stdout and how to end on stderr", async () => {
  const folder = designs();
  const server = await serving([folder, "--port", "0"]);
  expect(server.out()).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/\n$/);
  await expect.poll(() => server.err()).toContain("Ctrl-C ends it.");
  expect(server.err()).toContain(folder);
  const page = await fetch(server.url);
  expect(await page.text()).toContain("<title>Page</title>");
  expect(page.headers.get("Content-Security-Policy")).toContain("default-src 'none'");
  expect((await fetch(new URL("/assets/page-AB12CD34.js", server.url))).status).toBe(200);
  const listed = await (await fetch(new URL("/api/folder", server.url))).json();
  expect(listed).toMatchObject({
    folder: folder.split("/").pop(),
    files: [{ name: NAME, title: "Valve", sha256: hash(TEXT) }],
    version: expect.stringMatching(/^\d+\.\d+\.\d+$/),
  });
});

test.each(["SIGINT", "SIGTERM"] as const)(
  "%s is the normal end: 0, at once, streams or not",
  async (signal) => {
    const server = await serving([designs(), "--port", "0"]);
    const stream = await fetch(new URL("/api/changes", server.url));
    const reader = stream.body!.getReader();
    await reader.read();
    const began = Date.now();
    expect(await server.end(signal)).toBe(0);
    expect(Date.now() - began).toBeLessThan(2500);
    expect((await reader.read()).done).toBe(true);
    await expect(fetch(server.url)).rejects.toThrow();
  },
);

test("a design as argument opens its folder and is named in the address", async () => {
  const folder = designs();
  const name = "für Ar.reed.yaml";
  writeFileSync(join(folder, name), TEXT);
  const server = await serving([join(folder, name), "--port", "0"]);
  expect(server.line).toMatch(/\/#design=f%C3%BCr%20Ar\.reed\.yaml$/);
  const { files } = (await (await fetch(new URL("/api/folder", server.url))).json()) as {
    files: { name: string }[];
  };
  expect(files.map((file) => file.name)).toEqual([name, NAME]);
});

test("without an argument it serves the current folder", async () => {
  const server = await serving(["--port", "0", "--json"], { cwd: designs() });
  expect((await fetch(new URL(`/api/design/${NAME}`, server.url))).status).toBe(200);
});

test("--json prints one object with address and folder when it has started", async () => {
  const folder = designs();
  const server = await serving([folder, "--port", "0", "--json", "--quiet"]);
  expect(JSON.parse(server.out())).toMatchObject({
    schema: "https://reedlift.invalid/schema/serve-1.json",
    problems: [],
    result: { url: server.url.href, folder },
  });
  expect(await server.end()).toBe(0);
  expect(server.err()).toBe("");
});

test("what two programs write is never lost: the second is told of the first", async () => {
  const folder = designs();
  const server = await serving([folder, "--port", "0"]);
  expect((await put(server, NAME, "a: 1\n", TEXT)).status).toBe(200);
  writeFileSync(join(folder, NAME), "theirs: 1\n");
  const conflict = await put(server, NAME, "a: 2\n", "a: 1\n");
  expect([conflict.status, await conflict.json()]).toEqual([
    412,
    {
      error: { code: "conflict", message: `${NAME} was changed by another program` },
      current: { text: "theirs: 1\n", sha256: hash("theirs: 1\n") },
    },
  ]);
  expect(readFileSync(join(folder, NAME), "utf8")).toBe("theirs: 1\n");
  expect((await put(server, NAME, "a: 2\n", "theirs: 1\n")).status).toBe(200);
  expect(readdirSync(folder)).toEqual([NAME]);
});

test("changes on disk are told while the page is open", async () => {
  const folder = designs();
  const server = await serving([folder, "--port", "0"]);
  const stream = await fetch(new URL("/api/changes", server.url));
  const reader = stream.body!.getReader();
  let heard = "";
  const reading = (async () => {
    for (let read = await reader.read(); !read.done; read = await reader.read())
      heard += new TextDecoder().decode(read.value);
  })();
  writeFileSync(join(folder, NAME), "a: 2\n");
  await expect
    .poll(() => heard, { timeout: 8000 })
    .toContain(`data: {"name":"${NAME}","sha256":"${hash("a: 2\n")}"}\n\n`);
  await server.end();
  await reading;
});

test("a folder without the right to write is told as that, and the file stays", async () => {
  const folder = designs();
  chmodSync(folder, 0o555);
  const server = await serving([folder, "--port", "0"], { asNobody: ROOT_USER });
  for (const [name, over] of [
    [NAME, TEXT],
    ["new.reed.yaml", null],
  ] as const) {
    const answer = await put(server, name, "a: 1\n", over);
    expect([answer.status, await answer.json()]).toEqual([
      403,
      {
        error: {
          code: "no-permission",
          message: expect.stringContaining("no permission to write"),
        },
      },
    ]);
  }
  chmodSync(folder, 0o755);
  expect(readdirSync(folder)).toEqual([NAME]);
  expect(readFileSync(join(folder, NAME), "utf8")).toBe(TEXT);
});

test("a file without the right to read is listed with that reason, one without the right to write stays", async () => {
  const folder = designs();
  chmodSync(folder, 0o777);
  writeFileSync(join(folder, "closed.reed.yaml"), TEXT);
  chmodSync(join(folder, "closed.reed.yaml"), 0);
  chmodSync(join(folder, NAME), 0o444);
  const server = await serving([folder, "--port", "0"], { asNobody: ROOT_USER });
  const listed = await (await fetch(new URL("/api/folder", server.url))).json();
  expect(listed).toMatchObject({
    files: [
      { name: "closed.reed.yaml", sha256: null, reason: "no permission to read closed.reed.yaml" },
      { name: NAME, sha256: hash(TEXT) },
    ],
  });
  expect((await fetch(new URL("/api/design/closed.reed.yaml", server.url))).status).toBe(403);
  expect((await put(server, NAME, "a: 1\n", TEXT)).status).toBe(403);
  expect(readFileSync(join(folder, NAME), "utf8")).toBe(TEXT);
});

test("a full disk is told, the old text stays and nothing is left beside it", async ({ skip }) => {
  const folder = scratch();
  const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=64k", "tmpfs", folder]);
  if (mounted.status !== 0) skip("a small disk can't be mounted here: no right to");
  onTestFinished(() => void spawnSync("umount", ["-l", folder]));
  writeFileSync(join(folder, NAME), TEXT);
  const server = await serving([folder, "--port", "0"]);
  const large = "#".repeat(200_000);
  for (const [name, over] of [
    [NAME, TEXT],
    ["new.reed.yaml", null],
  ] as const) {
    const answer = await put(server, name, large, over);
    expect([answer.status, await answer.json()]).toEqual([
      507,
      {
        error: { code: "disk-full", message: expect.stringContaining("no room left on the disk") },
      },
    ]);
  }
  expect(readdirSync(folder)).toEqual([NAME]);
  expect(readFileSync(join(folder, NAME), "utf8")).toBe(TEXT);
  expect((await put(server, NAME, "a: 1\n", TEXT)).status).toBe(200);
});

test("a file over 1 MB is refused with the command line's own words", async () => {
  const folder = designs();
  const large = join(folder, "large.reed.yaml");
  writeFileSync(large, "#".repeat(1_000_001));
  const server = await serving([folder, "--port", "0"]);
  const answer = await fetch(new URL("/api/design/large.reed.yaml", server.url));
  expect(answer.status).toBe(413);
  const { error } = (await answer.json()) as { error: { message: string } };
  const { out } = await staged(["check", large, "--json"]);
  const [problem] = (JSON.parse(out) as { problems: Record<string, string>[] }).problems;
  for (const part of ["message", "found", "hint"])
    expect(error.message).toContain((problem as Record<string, string>)[part]);
});

/** A listener of the test's own at a port, where no one else has it. */
function taken(port: number): Promise<Server> {
  const server = createServer();
  onTestFinished(() => void server.close());
  return new Promise((resolve) => {
    server.on("error", () => resolve(server));
    server.listen(port, "127.0.0.1", () => resolve(server));
  });
}

test("without --port the next free one is taken, past the one that browsers refuse", async () => {
  for (let port = 4180; port < 4190; port++) await taken(port);
  const server = await serving([designs()]);
  const port = Number(server.url.port);
  expect(port).toBeGreaterThan(4190);
  expect(port).toBeLessThanOrEqual(4200);
  expect((await fetch(server.url)).status).toBe(200);
});

test("2: the port that was given is taken, or browsers refuse it", async () => {
  const { port } = (await taken(0)).address() as { port: number };
  const main = shipped();
  const ended = await refused([designs(), "--port", String(port)], { main });
  expect(ended).toMatchObject({ code: 2, out: "" });
  expect(ended.err).toContain(`port ${port} is taken by another program`);
  const blocked = await refused([designs(), "--port", "6000"], { main });
  expect(blocked).toMatchObject({ code: 2, out: "" });
  expect(blocked.err).toContain("browsers open no page at port 6000");
  const wrong = await refused([designs(), "--port", "70000"], { main });
  expect(wrong).toMatchObject({ code: 2, out: "" });
});

test("2: no folder, no design, no right, no page; each says what is due", async () => {
  const main = shipped();
  const folder = designs();
  writeFileSync(join(folder, "notes.txt"), "x");
  const closed = join(scratch(), "valves");
  spawnSync("mkdir", ["-m", "000", closed]);
  const cases: [string, RegExp][] = [
    [join(folder, "missing"), /there is no such folder[\s\S]*allowed .*a folder with designs/],
    [join(folder, NAME, "x"), /there is no such folder/],
    [join(folder, "notes.txt"), /must end in \.reed\.yaml/],
    ["/dev/null", /not a folder[\s\S]*a pipe or a device/],
    [closed, /no permission to read this folder/],
  ];
  for (const [path, words] of cases) {
    const ended = await refused([path, "--port", "0"], { main, asNobody: ROOT_USER });
    expect([path, ended.code, ended.out]).toEqual([path, 2, ""]);
    expect(ended.err).toMatch(words);
  }
  const unbuilt = await serve([folder, "--port", "0"], { main: shipped(false) });
  expect(unbuilt).toMatchObject({ code: 2, out: "" });
  expect((unbuilt as { err: string }).err).toMatch(/the page is not built[\s\S]*npm run build/);
});
