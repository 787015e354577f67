import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { getRequestListener } from "@hono/node-server";
import { errorAnswer } from "./answers.ts";
import { type App, createApp } from "./app.ts";
import { folderStore } from "./folderStore.ts";
import { fenced } from "./guard.ts";
import { pageFolder } from "./pageFolder.ts";
import type { DesignStore } from "./store.ts";

export interface ServerOptions {
  /** The folder whose designs are served. */
  folder: string;
  /** 0 takes any free one. */
  port: number;
  /** An address of loopback. Default: 127.0.0.1, and ::1 where the system has it. */
  host?: "127.0.0.1" | "::1";
  /** Where the built page lies. */
  pageFolder: string;
  /** Default: "unknown". */
  version?: string;
  /** Default: null. */
  revision?: string | null;
  /** Default: the files of `folder`. */
  store?: DesignStore;
  onFault?: (error: unknown) => void;
}

export interface RunningServer {
  /** Where the page is, with a slash at its end. */
  url: string;
  port: number;
  /** Ends the streams, lets calls that are under way end, frees the port. */
  close(): Promise<void>;
}

/** The port can't be had: another program has it, or it needs rights. */
export class PortTaken extends Error {
  readonly port: number;
  readonly code: string;

  constructor(port: number, code: string) {
    super(`port ${port} can't be had (${code})`);
    this.port = port;
    this.code = code;
  }
}

/** How long calls that are under way may take when the server ends, ms. */
const PATIENCE_MS = 3000;

/** How often connections without a call are closed when the server ends, ms. */
const IDLE_MS = 20;

/** How often a port that is free at 127.0.0.1 is looked for that is free at ::1 too. */
const TRIES = 10;

/**
 * Serves a folder on loopback until it is closed.
 * @throws PortTaken when the port can't be had
 */
export async function runServer(options: ServerOptions): Promise<RunningServer> {
  const host: string = options.host ?? "127.0.0.1";
  if (host !== "127.0.0.1" && host !== "::1")
    throw new RangeError(`the server listens on 127.0.0.1 or ::1 only: got ${host}`);
  const store = options.store ?? folderStore(options.folder);
  const files = pageFolder(options.pageFolder);
  let app: App | undefined;
  const listener = getRequestListener(
    (request) => app?.fetch(request) ?? errorAnswer(503, "starting", "the server is starting"),
    {
      overrideGlobalObjects: false,
      errorHandler: () => fenced(errorAnswer(400, "request", "the request can't be read")),
    },
  );
  const { servers, port } = await bound(() => createServer(listener), options);
  app = createApp({
    store,
    page: files,
    port,
    version: options.version ?? "unknown",
    revision: options.revision ?? null,
    ...(options.onFault === undefined ? {} : { onFault: options.onFault }),
  });
  return {
    url: `http://${host === "::1" ? "[::1]" : host}:${port}/`,
    port,
    close: async () => {
      app?.close();
      await Promise.all(servers.map(closed));
    },
  };
}

/** The listening servers, all at one port. */
async function bound(
  make: () => Server,
  { port: wanted, host }: ServerOptions,
): Promise<{ servers: Server[]; port: number }> {
  for (let tried = 1; ; tried++) {
    const first = await listening(make(), wanted, host ?? "127.0.0.1");
    const { port } = first.address() as AddressInfo;
    if (host !== undefined) return { servers: [first], port };
    try {
      return { servers: [first, await listening(make(), port, "::1")], port };
    } catch (error) {
      const { code } = error as PortTaken;
      // A system without IPv6: the other address serves.
      if (code !== "EADDRINUSE" && code !== "EACCES") return { servers: [first], port };
      await closed(first);
      if (wanted !== 0 || tried >= TRIES) throw error;
    }
  }
}

function listening(server: Server, port: number, host: string): Promise<Server> {
  return new Promise((resolve, reject) => {
    server.once("error", (error: NodeJS.ErrnoException) =>
      reject(new PortTaken(port, error.code ?? error.message)),
    );
    server.listen({ port, host, exclusive: true }, () => resolve(server));
  });
}

function closed(server: Server): Promise<void> {
  return new Promise((resolve) => {
    // A connection whose answer has just ended is kept for the next call: it is closed here too.
    const idle = setInterval(() => server.closeIdleConnections(), IDLE_MS);
    const end = setTimeout(() => server.closeAllConnections(), PATIENCE_MS);
    server.close(() => {
      clearInterval(idle);
      clearTimeout(end);
      resolve();
    });
  });
}
