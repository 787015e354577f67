import { expect, test } from "vitest";
import { HOST, NAME, over, put, served, TEXT } from "./served.test-data.ts";

test("a foreign Host is told nothing, with any path", async () => {
  const { app } = await served();
  for (const host of [
    "evil.example",
    "evil.example:4180",
    "127.0.0.1",
    "127.0.0.1:4181",
    "127.0.0.1:4180.evil.example",
    "localhost.:4180",
    "127.0.0.2:4180",
    "0.0.0.0:4180",
    "[::]:4180",
    "",
  ])
    for (const path of ["/", "/api/folder", `/api/design/${NAME}`, "/assets/x.js"]) {
      const request = new Request(`http://${HOST}${path}`, { headers: { Host: host } });
      expect([host, path, (await app.fetch(request)).status]).toEqual([host, path, 421]);
    }
  const absolute = new Request("http://evil.example/api/folder", { headers: { Host: HOST } });
  expect((await app.fetch(absolute)).status).toBe(421);
});

test("its own names are taken, in any case", async () => {
  const { app } = await served();
  for (const host of ["127.0.0.1:4180", "localhost:4180", "LOCALHOST:4180", "[::1]:4180"]) {
    const request = new Request(`http://${host}/api/folder`, { headers: { Host: host } });
    expect([host, (await app.fetch(request)).status]).toEqual([host, 200]);
  }
});

test("a call that another page makes is refused, whichever way it shows", async () => {
  const { ask, store } = await served();
  const foreign: Record<string, string>[] = [
    { Origin: "http://evil.example" },
    { Origin: "null" },
    { Origin: "http://127.0.0.1:4181" },
    { Origin: "https://127.0.0.1:4180" },
    { Origin: "http://localhost:4180" },
    { Origin: "http://127.0.0.1:4180.evil.example" },
    { "Sec-Fetch-Site": "cross-site" },
    { "Sec-Fetch-Site": "same-site" },
    { "Sec-Fetch-Site": "none" },
    { Origin: `http://${HOST}`, "Sec-Fetch-Site": "cross-site" },
  ];
  for (const headers of foreign) {
    for (const path of ["/api/folder", `/api/design/${NAME}`, "/api/changes", "/api/nothing"])
      expect([headers, path, (await ask(path, { headers })).status]).toEqual([headers, path, 403]);
    const answer = await ask(`/api/design/${NAME}`, put("x", { ...over(TEXT), ...headers }));
    expect([headers, answer.status]).toEqual([headers, 403]);
  }
  const own = { Origin: `http://${HOST}`, "Sec-Fetch-Site": "same-origin" };
  expect((await ask("/api/folder", { headers: own })).status).toBe(200);
  expect((await store.read(NAME)).text).toBe(TEXT);
  expect((await ask(`/api/design/${NAME}`, put("x", { ...over(TEXT), ...own }))).status).toBe(200);
});

test("a call that changes something needs the header that no foreign page may send", async () => {
  const { ask, store } = await served();
  const { "X-Reedlift": _, ...headers } = put("").headers as Record<string, string>;
  const bare = { method: "PUT", body: "x", headers: { ...headers, ...over(TEXT) } };
  expect((await ask(`/api/design/${NAME}`, bare)).status).toBe(403);
  for (const method of ["POST", "DELETE", "PATCH"])
    expect((await ask(`/api/design/${NAME}`, { method })).status).toBe(403);
  expect((await store.read(NAME)).text).toBe(TEXT);
});

test("a browser's question for leave is never granted", async () => {
  const { ask } = await served();
  for (const origin of ["http://evil.example", `http://${HOST}`]) {
    const answer = await ask(`/api/design/${NAME}`, {
      method: "OPTIONS",
      headers: {
        Origin: origin,
        "Access-Control-Request-Method": "PUT",
        "Access-Control-Request-Headers": "x-reedlift",
      },
    });
    expect(answer.ok).toBe(false);
    expect([...answer.headers.keys()].filter((name) => name.startsWith("access-"))).toEqual([]);
  }
});

test("every answer carries the fence", async () => {
  const { ask } = await served();
  const answers = [
    await ask("/"),
    await ask("/api/folder"),
    await ask("/api/nothing"),
    await ask("/api/folder", { headers: { Origin: "null" } }),
    await ask("/", { headers: { Host: "evil.example" } }),
    await ask("/", { method: "DELETE" }),
  ];
  expect(answers.map(({ status }) => status)).toEqual([404, 200, 404, 403, 421, 405]);
  for (const { headers } of answers) {
    expect(headers.get("Content-Security-Policy")).toBe(
      "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    );
    expect(headers.get("X-Content-Type-Options")).toBe("nosniff");
    expect(headers.get("Referrer-Policy")).toBe("no-referrer");
    expect(headers.get("Cross-Origin-Opener-Policy")).toBe("same-origin");
    expect(headers.get("Cross-Origin-Resource-Policy")).toBe("same-origin");
    expect(headers.get("Permissions-Policy")).toContain("camera=()");
    expect(headers.get("Access-Control-Allow-Origin")).toBeNull();
  }
});
