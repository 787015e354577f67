import { accessSync, constants, existsSync, statSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { nameProblem } from "../server/designName.ts";
import { browsersRefuse } from "../server/ports.ts";
import { PortTaken, type RunningServer, runServer } from "../server/run.ts";
import { EXIT, Stop } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { Host } from "./host.ts";
import type { Look, Outcome } from "./outcome.ts";
import { trouble, troubleText } from "./trouble.ts";
import { REVISION, VERSION } from "./version.ts";

declare const __REEDLIFT_VERSION__: string | undefined;

/** The built page: beside the built command, from source in dist. */
const PAGE = fileURLToPath(
  new URL(
    typeof __REEDLIFT_VERSION__ === "string" ? "../page/" : "../../dist/page/",
    import.meta.url,
  ),
);

/** Port without the option, and how many after it are tried when it is taken. */
export const PORT = { first: 4180, more: 20 } as const;

/** `reedlift serve`: the page, until the user ends it. */
export async function serveCommand(
  argument: string | null,
  flags: Flags,
  _: Look,
  host: Host,
): Promise<Outcome> {
  const { folder, design } = asked(argument ?? ".");
  if (!existsSync(join(PAGE, "index.html")))
    throw new Stop(
      EXIT.invalid,
      trouble("page-not-built", "the page is not built", { hint: "npm run build" }),
    );
  const server = await started(flags.port, (port) =>
    runServer({
      folder,
      port,
      pageFolder: PAGE,
      version: VERSION,
      revision: REVISION,
      onFault: (error) => host.err(troubleText(faultOf(error))),
    }),
  );
  const url = design === null ? server.url : `${server.url}#design=${encodeURIComponent(design)}`;
  return {
    code: EXIT.met,
    result: { url, folder },
    text: () => `${url}\n`,
    troubles: [],
    notes: [
      `Serving the designs of ${folder} to this computer only: open the address in a browser.`,
      "Ctrl-C ends it.",
    ],
    provenance: {},
    after: async () => {
      await host.ended();
      await server.close();
    },
  };
}

/** What the page may ask for, in the words of a refusal. */
const DUE = "a folder with designs, or one design of it (NAME.reed.yaml)";

/** The folder to serve and the design to begin with. */
function asked(path: string): { folder: string; design: string | null } {
  const refusal = (code: string, message: string, found = "") =>
    new Stop(EXIT.invalid, trouble(code, message, { file: path, found, allowed: DUE }));
  try {
    const stat = statSync(path);
    const design = stat.isDirectory() ? null : basename(path);
    if (design !== null) {
      if (!stat.isFile()) throw refusal("not-a-folder", "not a folder", "a pipe or a device");
      const problem = nameProblem(design);
      if (problem !== null)
        throw refusal("not-a-design", `the name of a design ${problem}`, design);
    }
    const folder = resolve(design === null ? path : dirname(path));
    accessSync(folder, constants.R_OK | constants.X_OK);
    return { folder, design };
  } catch (error) {
    if (error instanceof Stop) throw error;
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR")
      throw refusal("no-such-folder", "there is no such folder");
    if (code === "EACCES" || code === "EPERM")
      throw refusal("no-permission", "no permission to read this folder");
    throw refusal("not-readable", `the folder can't be read (${code ?? "no reason known"})`);
  }
}

/** Starts at the port that was given, or at the first free one of the usual ones. */
async function started(
  given: number | undefined,
  at: (port: number) => Promise<RunningServer>,
): Promise<RunningServer> {
  if (given !== undefined && browsersRefuse(given))
    throw portStop(`browsers open no page at port ${given}`, given);
  const last = given ?? PORT.first + PORT.more;
  for (let port = given ?? PORT.first; ; port++) {
    if (browsersRefuse(port)) continue;
    try {
      return await at(port);
    } catch (error) {
      if (!(error instanceof PortTaken)) throw error;
      if (error.code === "EACCES" || error.code === "EPERM")
        throw portStop(`no permission to listen at port ${port}`, port);
      if (error.code !== "EADDRINUSE" && error.code !== "EADDRNOTAVAIL")
        throw portStop(`no listening at port ${port} (${error.code})`, port);
      if (port >= last)
        throw given === undefined
          ? portStop(`ports ${PORT.first} to ${last} are all taken`, last)
          : portStop(`port ${port} is taken by another program`, port);
    }
  }
}

const portStop = (message: string, port: number): Stop =>
  new Stop(
    EXIT.invalid,
    trouble("port", message, {
      file: "--port",
      found: String(port),
      allowed: "a free port from 1024 to 65535",
      hint: "--port 0 takes any free one",
    }),
  );

function faultOf(error: unknown) {
  const what = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  return trouble("fault", `a fault of the program: ${what.split("\n")[0]}`, {
    hint: "report it as CONTRIBUTING.md says",
  });
}
