import { existsSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { connect } from "node:net";
import { networkInterfaces } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { designs, NAME, raw, type Serving, serving, TEXT } from "./support.ts";

/* The server as a process, asked by what is no browser and keeps no rule. */

async function started(): Promise<Serving & { folder: string; port: number }> {
  const folder = designs();
  const server = await serving([folder, "--port", "0"]);
  return { ...server, folder, port: Number(server.url.port) };
}

const get = (path: string, port: number, more = "") =>
  `GET ${path} HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\n${more}Connection: close\r\n\r\n`;
const statusOf = (answer: string) => Number(/^HTTP\/1\.1 (\d+)/.exec(answer)?.[1] ?? 0);

test("a foreign Host and a foreign Origin get nothing", async () => {
  const { port } = await started();
  for (const host of ["evil.example", `evil.example:${port}`, "127.0.0.1", `127.0.0.2:${port}`]) {
    for (const path of ["/", "/api/folder", `/api/design/${NAME}`]) {
      const answer = await raw(port, get(path, port).replace(/Host: .*/, `Host: ${host}`));
      expect([host, path, statusOf(answer)]).toEqual([host, path, 421]);
      expect(answer).not.toContain("reedlift: 1");
    }
  }
  for (const line of [
    "Origin: http://evil.example\r\n",
    "Origin: null\r\n",
    "Sec-Fetch-Site: cross-site\r\n",
  ]) {
    const answer = await raw(port, get(`/api/design/${NAME}`, port, line));
    expect([line, statusOf(answer)]).toEqual([line, 403]);
    expect(answer).not.toContain("reedlift: 1");
    expect(answer.toLowerCase()).not.toContain("access-control");
  }
  const own = get(`/api/design/${NAME}`, port, `Origin: http://127.0.0.1:${port}\r\n`);
  expect(statusOf(await raw(port, own))).toBe(200);
});

test("no path leads out of the folder or of the page, however it is written", async () => {
  const { port, folder, err } = await started();
  writeFileSync(join(folder, "secret.txt"), "root:x:0:0\n");
  symlinkSync("/etc/passwd", join(folder, "link.reed.yaml"));
  for (const path of [
    "/../../../../etc/passwd",
    "/assets/../../../../etc/passwd",
    "/assets/%2e%2e/%2e%2e/etc/passwd",
    "/assets/..%2f..%2f..%2fetc%2fpasswd",
    "/assets/..\\..\\..\\etc\\passwd",
    "/assets/..%5c..%5cetc%5cpasswd",
    "/assets//etc/passwd",
    "//etc/passwd",
    "/assets/%252e%252e%252fetc%252fpasswd",
    "/api/design/../../../../etc/passwd",
    "/api/design/../secret.txt",
    "/api/design/%2e%2e%2f%2e%2e%2fetc%2fpasswd",
    "/api/design/..%2f..%2f..%2fetc%2fpasswd",
    "/api/design/..%5c..%5csecret.txt",
    "/api/design/..\\..\\etc\\passwd",
    "/api/design/%c0%ae%c0%ae%c0%afetc%c0%afpasswd",
    "/api/design/secret.txt",
    "/api/design/secret.txt%00.reed.yaml",
    "/api/design/link.reed.yaml",
    "/api/design//etc/passwd",
    "/api/design/file:%2f%2f%2fetc%2fpasswd",
    `file:///etc/passwd`,
    `http://127.0.0.1:${port}/api/design/..%2fsecret.txt`,
    "http://evil.example/api/folder",
    "etc/passwd",
    "*",
  ]) {
    const answer = await raw(port, get(path, port));
    expect([path, statusOf(answer)]).toEqual([path, expect.toSatisfy((s) => s >= 400 && s < 500)]);
    expect(answer).not.toContain("root:");
    expect(answer).not.toMatch(/\bat .*\.js|\/etc|node_modules/);
  }
  expect(statusOf(await raw(port, get("/api/folder", port)))).toBe(200);
  expect(err()).not.toContain("at ");
});

test("nothing is written outside the folder, however the name is written", async () => {
  const { port, folder } = await started();
  const put = (path: string) =>
    `PUT ${path} HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nX-Reedlift: 1\r\nIf-None-Match: *\r\nContent-Type: text/plain\r\nContent-Length: 2\r\nConnection: close\r\n\r\nx\n`;
  for (const name of [
    "..%2fx.reed.yaml",
    "../x.reed.yaml",
    "..%5cx.reed.yaml",
    "..\\x.reed.yaml",
    "%2ftmp%2fx.reed.yaml",
    "x.reed.yaml%00.txt",
    "x.txt",
    ".x.reed.yaml",
    "sub%2fx.reed.yaml",
  ])
    expect([name, statusOf(await raw(port, put(`/api/design/${name}`)))]).toEqual([
      name,
      expect.toSatisfy((status) => status >= 400 && status < 500),
    ]);
  expect(readdirSync(folder)).toEqual([NAME]);
  expect(existsSync(join(folder, "..", "x.reed.yaml"))).toBe(false);
  expect(statusOf(await raw(port, put("/api/design/x.reed.yaml")))).toBe(201);
  expect(readFileSync(join(folder, "x.reed.yaml"), "utf8")).toBe("x\n");
});

test("requests that are none are answered or dropped, and the server goes on", async () => {
  const { port, folder, err, url } = await started();
  const host = `Host: 127.0.0.1:${port}\r\n`;
  for (const [text, status] of [
    ["GET / HTTP/1.0\r\n\r\n", 400],
    ["GET / HTTP/1.1\r\n\r\n", 400],
    [`GET / HTTP/1.1\r\nHost: evil.example\r\n${host}Connection: close\r\n\r\n`, 421],
    [`TRACE /api/folder HTTP/1.1\r\n${host}Connection: close\r\n\r\n`, 403],
    [`CONNECT 127.0.0.1:22 HTTP/1.1\r\n${host}\r\n`, 0],
    ["\x16\x03\x01\x02\x00\x01\x00", 400],
    [`GET /${"a".repeat(20_000)} HTTP/1.1\r\n${host}\r\n`, 431],
    [`POST /api/folder HTTP/1.1\r\n${host}Connection: close\r\n\r\n`, 403],
    [
      `PUT /api/design/${NAME} HTTP/1.1\r\n${host}X-Reedlift: 1\r\nIf-None-Match: *\r\nContent-Type: text/plain\r\nContent-Length: 2000000\r\nConnection: close\r\n\r\nx`,
      413,
    ],
    // A request within another: both lengths are given, which is refused before any is read.
    [
      `PUT /api/design/${NAME} HTTP/1.1\r\n${host}Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET / HTTP/1.1\r\n${host}\r\n`,
      400,
    ],
  ] as const) {
    const answer = await raw(port, text);
    expect([text.slice(0, 60), statusOf(answer)]).toEqual([text.slice(0, 60), status]);
    expect(answer).not.toMatch(/\bat .*\.js|node_modules/);
  }
  expect((await fetch(new URL("/api/folder", url))).status).toBe(200);
  expect(readFileSync(join(folder, NAME), "utf8")).toBe(TEXT);
  expect(err()).not.toMatch(/\bat .*\.js/);
});

test("half a text that breaks off is not written", async () => {
  const { port, folder, url } = await started();
  const begun = `PUT /api/design/new.reed.yaml HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nX-Reedlift: 1\r\nIf-None-Match: *\r\nContent-Type: text/plain\r\nContent-Length: 100\r\n\r\nhalf`;
  await new Promise<void>((resolve) => {
    const socket = connect(port, "127.0.0.1", () =>
      socket.write(begun, () => setTimeout(() => socket.destroy(), 100)),
    );
    socket.on("close", () => resolve());
  });
  expect((await fetch(new URL("/api/folder", url))).status).toBe(200);
  expect(readdirSync(folder)).toEqual([NAME]);
});

test("it listens on loopback and nowhere else", async () => {
  const { port } = await started();
  const others = Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter(({ internal, address }) => !internal && !address.startsWith("fe80"));
  for (const { address } of others)
    await expect(raw(port, get("/", port), address)).rejects.toMatchObject({
      code: expect.stringMatching(/ECONNREFUSED|EHOSTUNREACH|ENETUNREACH|EADDRNOTAVAIL/),
    });
  // All of 127.0.0.0/8 is this computer; only the one address answers.
  await expect(raw(port, get("/", port), "127.0.0.2")).rejects.toMatchObject({
    code: expect.stringMatching(/ECONNREFUSED|EADDRNOTAVAIL/),
  });
});

test("the other loopback address serves too, where the system has it", async ({ skip }) => {
  const { port } = await started();
  const six = Object.values(networkInterfaces()).some((list) =>
    list?.some(({ address }) => address === "::1"),
  );
  if (!six) skip("this system has no ::1");
  const ask = get("/api/folder", port).replace("127.0.0.1", "[::1]");
  expect(statusOf(await raw(port, ask, "::1"))).toBe(200);
});
