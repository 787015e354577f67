import { Hono } from "hono/tiny";
import { errorAnswer, thrownAnswer } from "./answers.ts";
import { type ChangeStreams, changeStreams } from "./changes.ts";
import {
  DESIGN_PATH,
  folderAnswer,
  type ProgramVersion,
  readAnswer,
  writeAnswer,
} from "./designs.ts";
import { fenced, hostsAt, refusedRequest } from "./guard.ts";
import { type PageFiles, pageAnswer } from "./pageFiles.ts";
import { type DesignStore, StoreRefusal } from "./store.ts";

export interface AppOptions extends ProgramVersion {
  store: DesignStore;
  page: PageFiles;
  /** Where the server listens: its addresses are all that it answers to. */
  port: number;
  /** Hears of errors that are no refusals. Default: no one does. */
  onFault?: (error: unknown) => void;
  /** Default: one sign of life every `HEARTBEAT_S`. */
  streams?: ChangeStreams;
}

export interface App {
  fetch(request: Request): Promise<Response>;
  /** Ends the streams of changes. */
  close(): void;
}

/** The server as a function of a request. It throws nothing. */
export function createApp(options: AppOptions): App {
  const { store, page, port, version, revision, streams = changeStreams() } = options;
  const hosts = hostsAt(port);
  const app = new Hono();
  app.get("/api/folder", () => folderAnswer(store, { version, revision }));
  app.get(`${DESIGN_PATH}*`, ({ req }) => readAnswer(req.raw, store));
  app.put(`${DESIGN_PATH}*`, ({ req }) => writeAnswer(req.raw, store));
  app.get("/api/changes", ({ req }) =>
    req.raw.method === "HEAD" ? notAllowed("GET") : streams.answer(store),
  );
  app.all(`${DESIGN_PATH}*`, () => notAllowed("GET, HEAD, PUT"));
  app.all("/api/folder", () => notAllowed("GET, HEAD"));
  app.all("/api/changes", () => notAllowed("GET"));
  app.all("/api/*", () => errorAnswer(404, "no-such-call", "there is no such call"));
  app.get("*", ({ req }) => pageAnswer(req.raw, page));
  app.all("*", () => notAllowed("GET, HEAD"));
  app.onError((error) => {
    if (!(error instanceof StoreRefusal)) options.onFault?.(error);
    return thrownAnswer(error);
  });
  return {
    fetch: async (request) => fenced(refusedRequest(request, hosts) ?? (await app.fetch(request))),
    close: () => streams.close(),
  };
}

const notAllowed = (allow: string) =>
  errorAnswer(405, "method", `this address takes ${allow}`, { Allow: allow });
