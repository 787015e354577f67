import { createHash } from "node:crypto";
import { createApp } from "./app.ts";
import { changeStreams } from "./changes.ts";
import { memoryStore } from "./memoryStore.ts";
import type { PageFiles } from "./pageFiles.ts";
import type { DesignStore } from "./store.ts";

/** What the tests of the handlers share: the app over a memory store with one design. */

export const HOST = "127.0.0.1:4180";
export const NAME = "valve.reed.yaml";
export const TEXT = "reedlift: 1\nname: Valve\n";
export const hash = (text: string) => createHash("sha256").update(text, "utf8").digest("hex");
const NO_PAGE: PageFiles = { read: async () => null };

/** The app over a memory store with one design, and a way to ask it. */
export async function served(over: Partial<DesignStore> = {}) {
  const store = memoryStore("valves");
  await store.put(NAME, TEXT);
  const faults: unknown[] = [];
  let beat = () => {};
  const streams = changeStreams((call) => {
    beat = call;
    return () => undefined;
  });
  const app = createApp({
    store: { ...store, ...over },
    page: NO_PAGE,
    port: 4180,
    version: "1.2.3",
    revision: "abc",
    onFault: (error) => faults.push(error),
    streams,
  });
  const ask = (path: string, init: RequestInit = {}) =>
    app.fetch(new Request(`http://${HOST}${path}`, init));
  return { store, app, ask, faults, streams, beat: () => beat() };
}

export const put = (
  body: string | Uint8Array<ArrayBuffer>,
  headers: Record<string, string> = {},
): RequestInit => ({
  method: "PUT",
  body,
  headers: { "X-Reedlift": "1", "Content-Type": "text/plain; charset=utf-8", ...headers },
});
export const over = (text: string) => ({ "If-Match": `"${hash(text)}"` });
export const NEW = { "If-None-Match": "*" };
