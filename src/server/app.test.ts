import { expect, test } from "vitest";
import { hash, NAME, NEW, over, put, served, TEXT } from "./served.test-data.ts";
import { StoreRefusal } from "./store.ts";

test("the folder: its name, its designs, the program's version", async () => {
  const { ask } = await served();
  const answer = await ask("/api/folder");
  expect(answer.status).toBe(200);
  expect(answer.headers.get("Cache-Control")).toBe("no-store");
  expect(await answer.json()).toEqual({
    folder: "valves",
    files: [
      { name: NAME, bytes: 24, modified: expect.any(String), sha256: hash(TEXT), title: "Valve" },
    ],
    version: "1.2.3",
    revision: "abc",
  });
});

test("a design: its exact text and hash", async () => {
  const { ask, store } = await served();
  await store.put("für Ar.reed.yaml", "\ufeffa: µ\r\n");
  const answer = await ask(`/api/design/${encodeURIComponent("für Ar.reed.yaml")}`);
  expect(await answer.json()).toEqual({
    name: "für Ar.reed.yaml",
    text: "\ufeffa: µ\r\n",
    sha256: hash("\ufeffa: µ\r\n"),
  });
  expect(answer.headers.get("ETag")).toBe(`"${hash("\ufeffa: µ\r\n")}"`);
});

test("a text is written over the one that is known", async () => {
  const { ask, store } = await served();
  const answer = await ask(`/api/design/${NAME}`, put("a: 2\n", over(TEXT)));
  expect([answer.status, await answer.json()]).toEqual([
    200,
    { name: NAME, sha256: hash("a: 2\n") },
  ]);
  expect((await store.read(NAME)).text).toBe("a: 2\n");
});

test("a new one is made, its bytes kept as they came", async () => {
  const { ask, store } = await served();
  const text = "\ufeffnot: [done  # µ\r\n";
  const answer = await ask("/api/design/new.reed.yaml", put(text, NEW));
  expect([answer.status, await answer.json()]).toEqual([
    201,
    { name: "new.reed.yaml", sha256: hash(text) },
  ]);
  expect((await store.read("new.reed.yaml")).text).toBe(text);
});

test("412 with what is on disk when it is another, or none", async () => {
  const { ask, store } = await served();
  const changed = await ask(`/api/design/${NAME}`, put("mine", over("something else")));
  expect([changed.status, await changed.json()]).toEqual([
    412,
    {
      error: { code: "conflict", message: `${NAME} was changed by another program` },
      current: { text: TEXT, sha256: hash(TEXT) },
    },
  ]);
  const taken = await ask(`/api/design/${NAME}`, put("mine", NEW));
  expect(await taken.json()).toMatchObject({
    error: { message: `there is a ${NAME} already` },
    current: { text: TEXT },
  });
  const gone = await ask("/api/design/gone.reed.yaml", put("mine", over(TEXT)));
  expect([gone.status, await gone.json()]).toEqual([
    412,
    { error: { code: "conflict", message: "gone.reed.yaml is not there any more" }, current: null },
  ]);
  expect((await store.read(NAME)).text).toBe(TEXT);
});

test("nothing is written without knowing what it is written over", async () => {
  const { ask, store } = await served();
  const refused: [Record<string, string>, number][] = [
    [{}, 428],
    [{ "If-Match": "*" }, 400],
    [{ "If-Match": hash(TEXT) }, 400],
    [{ "If-Match": `W/"${hash(TEXT)}"` }, 400],
    [{ "If-Match": `"${hash(TEXT).toUpperCase()}"` }, 400],
    [{ "If-None-Match": `"${hash(TEXT)}"` }, 400],
    [{ ...over(TEXT), ...NEW }, 400],
  ];
  for (const [headers, status] of refused) {
    const answer = await ask(`/api/design/${NAME}`, put("x", headers));
    expect([headers, answer.status]).toEqual([headers, status]);
  }
  expect((await store.read(NAME)).text).toBe(TEXT);
});

test("only text in UTF-8 of at most 1 MB is taken, whatever its length is said to be", async () => {
  const { ask, store } = await served();
  const path = `/api/design/${NAME}`;
  const status = async (init: RequestInit) => (await ask(path, init)).status;
  expect(await status(put("x", { ...over(TEXT), "Content-Type": "application/json" }))).toBe(415);
  expect(
    await status(put("x", { ...over(TEXT), "Content-Type": "text/plain; charset=latin1" })),
  ).toBe(415);
  expect(await status(put(new Uint8Array([0xb5]), over(TEXT)))).toBe(422);
  const large = await ask(path, put("#".repeat(1_000_001), over(TEXT)));
  expect([large.status, await large.json()]).toEqual([
    413,
    { error: { code: "too-large", message: expect.stringContaining("the file is too large") } },
  ]);
  let sent = 0;
  const endless = new ReadableStream<Uint8Array>({
    pull: (controller) => {
      sent += 65_536;
      controller.enqueue(new Uint8Array(65_536).fill(35));
    },
  });
  const streamed = { ...put("", over(TEXT)), body: endless, duplex: "half" } as RequestInit;
  expect(await status(streamed)).toBe(413);
  expect(sent).toBeLessThan(1_300_000);
  expect((await store.read(NAME)).text).toBe(TEXT);
  expect(await status(put("", over(TEXT)))).toBe(200);
});

test("names that lead elsewhere are refused, however they are written", async () => {
  const { ask } = await served();
  for (const name of [
    "..%2Fvalve.reed.yaml",
    "..%5cvalve.reed.yaml",
    "%2e%2e%2f%2e%2e%2fetc%2fpasswd",
    "a%2Fvalve.reed.yaml",
    "a/valve.reed.yaml",
    "valve.reed.yaml%00",
    "%00.reed.yaml",
    ".valve.reed.yaml",
    "valve.yaml",
    "nul.reed.yaml",
    "%zz.reed.yaml",
    "%c0%ae%c0%ae.reed.yaml",
    "",
    `${"n".repeat(200)}.reed.yaml`,
  ]) {
    const read = await ask(`/api/design/${name}`);
    expect([name, read.status]).toEqual([name, 400]);
    expect(await read.json()).toMatchObject({ error: { code: "name" } });
    expect([name, (await ask(`/api/design/${name}`, put("x", NEW))).status]).toEqual([name, 400]);
  }
});

test("other methods are told which ones there are", async () => {
  const { ask } = await served();
  const own = { "X-Reedlift": "1" };
  const cases: [string, string, string][] = [
    ["POST", "/api/folder", "GET, HEAD"],
    ["DELETE", `/api/design/${NAME}`, "GET, HEAD, PUT"],
    ["POST", "/api/changes", "GET"],
    ["HEAD", "/api/changes", "GET"],
    ["POST", "/", "GET, HEAD"],
  ];
  for (const [method, path, allow] of cases) {
    const answer = await ask(path, { method, headers: own });
    expect([method, path, answer.status, answer.headers.get("Allow")]).toEqual([
      method,
      path,
      405,
      allow,
    ]);
  }
  const head = await ask("/api/folder", { method: "HEAD" });
  expect([head.status, await head.text()]).toEqual([200, ""]);
});

test.each([
  ["disk-full", 507],
  ["no-permission", 403],
  ["outside", 403],
  ["not-writable", 500],
  ["no-folder", 404],
] as const)("a store's refusal %s is told with its sentence, as %i", async (code, status) => {
  const write = async () => {
    throw new StoreRefusal(code, "a sentence for a person");
  };
  const { ask, faults } = await served({ write });
  const answer = await ask(`/api/design/${NAME}`, put("x", over(TEXT)));
  expect([answer.status, await answer.json()]).toEqual([
    status,
    { error: { code, message: "a sentence for a person" } },
  ]);
  expect(faults).toEqual([]);
});

test("a fault is told without its words, which go to the program's own log", async () => {
  const fault = new Error("ENOENT: /home/someone/secret");
  const list = async () => {
    throw fault;
  };
  const { ask, faults } = await served({ list });
  const answer = await ask("/api/folder");
  expect([answer.status, await answer.json()]).toEqual([
    500,
    { error: { code: "fault", message: "a fault of the program; nothing was written" } },
  ]);
  expect(faults).toEqual([fault]);
});

test("changes come as events, with signs of life between them", async () => {
  const { ask, store, streams, beat } = await served();
  const answer = await ask("/api/changes");
  expect(answer.headers.get("Content-Type")).toBe("text/event-stream; charset=utf-8");
  const reader = answer.body!.getReader();
  const next = async () => new TextDecoder().decode((await reader.read()).value);
  expect(await next()).toBe("retry: 1000\n: changes of the folder follow\n\n");
  await store.put(NAME, "a: 2\n");
  expect(await next()).toBe(`data: {"name":"${NAME}","sha256":"${hash("a: 2\n")}"}\n\n`);
  beat();
  expect(await next()).toBe(": still here\n\n");
  store.remove(NAME);
  expect(await next()).toBe(`data: {"name":"${NAME}","sha256":null}\n\n`);
  expect(streams.open).toBe(1);
  await reader.cancel();
  expect(streams.open).toBe(0);
  await store.put(NAME, "a: 3\n");
  beat();
});

test("when the server ends, the streams end", async () => {
  const { ask, app, store, streams } = await served();
  const readers = await Promise.all(
    [1, 2].map(async () => (await ask("/api/changes")).body!.getReader()),
  );
  expect(streams.open).toBe(2);
  app.close();
  for (const reader of readers) {
    await reader.read();
    expect((await reader.read()).done).toBe(true);
  }
  expect(streams.open).toBe(0);
  await store.put(NAME, "a: 2\n");
});
