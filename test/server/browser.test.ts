import { existsSync, readdirSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { type Browser, chromium, type Page } from "playwright-core";
import { expect, onTestFinished, test } from "vitest";
import { designs, NAME, type Serving, serving, TEXT } from "./support.ts";

/* What a page from elsewhere can do in a real browser: nothing. */

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";

async function browser(...flags: string[]): Promise<Browser> {
  const started = await chromium.launch({
    executablePath: CHROMIUM,
    args: ["--headless", "--disable-gpu", "--no-first-run", ...flags].concat(
      process.getuid?.() === 0 ? ["--no-sandbox"] : [],
    ),
  });
  onTestFinished(() => started.close());
  return started;
}

/** A page of another program on this computer, at an origin of its own. */
async function elsewhere(): Promise<string> {
  const server = createServer((_, answer) => {
    answer.setHeader("Content-Type", "text/html");
    answer.end("<!doctype html><title>Elsewhere</title><body></body>");
  });
  onTestFinished(() => void server.close());
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  return `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
}

/** Every way that a page has to reach another server; each gives what it got. */
const TRIES = `async (target, name) => {
  const text = (promise) => promise.then((r) => r.text(), () => "refused");
  const element = (tag, src) => new Promise((resolve) => {
    const made = document.createElement(tag);
    made.onload = () => resolve("loaded");
    made.onerror = () => resolve("refused");
    made.src = target + src;
    document.body.append(made);
  });
  const put = (more) => text(fetch(target + "api/design/" + name, {
    method: "PUT", body: "stolen: 1", ...more,
  }));
  return {
    read: await text(fetch(target + "api/design/" + name)),
    blind: await text(fetch(target + "api/design/" + name, { mode: "no-cors" })),
    write: await put({ headers: { "X-Reedlift": "1", "If-None-Match": "*" } }),
    post: await text(fetch(target + "api/design/" + name, {
      method: "POST", mode: "no-cors", body: "stolen: 1",
    })),
    events: await new Promise((resolve) => {
      const source = new EventSource(target + "api/changes");
      source.onopen = () => resolve("open");
      source.onerror = () => { source.close(); resolve("refused"); };
    }),
    picture: await element("img", "api/folder"),
    script: await element("script", "assets/page-AB12CD34.js"),
  };
}`;

const tried = (page: Page, target: string) =>
  page.evaluate<Record<string, string>>(`(${TRIES})(${JSON.stringify(target)}, "${NAME}")`);

async function start(): Promise<{ folder: string; server: Serving }> {
  const folder = designs();
  return { folder, server: await serving([folder, "--port", "0"]) };
}

function untouched(folder: string): void {
  expect(readdirSync(folder)).toEqual([NAME]);
  expect(readFileSync(join(folder, NAME), "utf8")).toBe(TEXT);
}

test("a page of another origin reads nothing, writes nothing, frames nothing", async ({ skip }) => {
  if (!existsSync(CHROMIUM)) skip(`no browser at ${CHROMIUM}`);
  const { folder, server } = await start();
  const page = await (await browser()).newPage();
  await page.goto(await elsewhere());
  const got = await tried(page, server.url.href);
  expect(got).toEqual({
    read: "refused",
    blind: "refused",
    write: "refused",
    post: "refused",
    events: "refused",
    picture: "refused",
    script: "refused",
  });
  await page.evaluate(`new Promise((resolve) => {
    const frame = document.createElement("iframe");
    frame.onload = resolve;
    frame.src = ${JSON.stringify(server.url.href)};
    document.body.append(frame);
  })`);
  const framed = page.frames().find((frame) => frame !== page.mainFrame());
  expect(await framed?.title().catch(() => "")).not.toBe("Page");
  untouched(folder);
});

test("a foreign name that points at this computer gets nothing", async ({ skip }) => {
  if (!existsSync(CHROMIUM)) skip(`no browser at ${CHROMIUM}`);
  const { folder, server } = await start();
  const rebound = await browser("--host-resolver-rules=MAP evil.example 127.0.0.1");
  const page = await rebound.newPage();
  const target = `http://evil.example:${server.url.port}/`;
  expect((await page.goto(target))?.status()).toBe(421);
  // The answer is a document of that origin: what it asks is same-origin for the browser.
  const answer = `fetch("/api/design/${NAME}").then((r) => r.status)`;
  expect(await page.evaluate(answer).catch(() => "refused")).toSatisfy(
    (status) => status === 421 || status === "refused",
  );
  untouched(folder);
});

test("the page itself may do all of it", async ({ skip }) => {
  if (!existsSync(CHROMIUM)) skip(`no browser at ${CHROMIUM}`);
  const { folder, server } = await start();
  const page = await (await browser()).newPage();
  for (const host of ["127.0.0.1", "localhost"]) {
    await page.goto(server.url.href.replace("127.0.0.1", host));
    expect(await page.title()).toBe("Page");
    const got = await tried(page, new URL(page.url()).href);
    expect(JSON.parse(got.read as string)).toMatchObject({ text: TEXT });
    expect(JSON.parse(got.write as string)).toMatchObject({ error: { code: "conflict" } });
    expect(got.events).toBe("open");
    expect(got.script).toBe("loaded");
  }
  untouched(folder);
});
