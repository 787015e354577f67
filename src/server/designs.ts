import { DESIGN_SIZE_MAX_BYTES } from "../design/document.ts";
import { errorAnswer, jsonAnswer } from "./answers.ts";
import { checkName, checkSize, textOf, tooLarge } from "./designText.ts";
import type { DesignStore, Expected } from "./store.ts";

/** What the program says of itself beside the list of designs. */
export interface ProgramVersion {
  version: string;
  revision: string | null;
}

/** `GET /api/folder`. */
export async function folderAnswer(store: DesignStore, program: ProgramVersion): Promise<Response> {
  const files = await store.list();
  return jsonAnswer({ folder: store.label, files, ...program });
}

export const DESIGN_PATH = "/api/design/";

/**
 * The name in `/api/design/NAME`, decoded once.
 * @throws StoreRefusal for a name that is none
 */
function nameIn(request: Request): string {
  const given = new URL(request.url).pathname.slice(DESIGN_PATH.length);
  let name = given;
  try {
    name = decodeURIComponent(given);
  } catch {
    name = "\0";
  }
  checkName(name);
  return name;
}

/** `GET /api/design/NAME`. */
export async function readAnswer(request: Request, store: DesignStore): Promise<Response> {
  const design = await store.read(nameIn(request));
  return jsonAnswer(design, 200, { ETag: `"${design.sha256}"` });
}

/** `PUT /api/design/NAME`: the text as it stands, over the text that the caller knows. */
export async function writeAnswer(request: Request, store: DesignStore): Promise<Response> {
  const name = nameIn(request);
  const expected = expectedBy(request);
  if (expected instanceof Response) return expected;
  if (
    !/^text\/plain\s*(;\s*charset="?utf-8"?\s*)?$/i.test(request.headers.get("Content-Type") ?? "")
  )
    return errorAnswer(415, "not-text", "a design is sent as text/plain; charset=utf-8");
  const text = textOf(await bodyOf(request));
  const written = await store.write(name, text, expected);
  if (written.kind === "written") {
    const { sha256, created } = written;
    return jsonAnswer({ name, sha256 }, created ? 201 : 200, { ETag: `"${sha256}"` });
  }
  const { current } = written;
  const message =
    current === null
      ? `${name} is not there any more`
      : expected === "absent"
        ? `there is a ${name} already`
        : `${name} was changed by another program`;
  return jsonAnswer(
    {
      error: { code: "conflict", message },
      current: current === null ? null : { text: current.text, sha256: current.sha256 },
    },
    412,
  );
}

function expectedBy({ headers }: Request): Expected | Response {
  const match = headers.get("If-Match");
  const none = headers.get("If-None-Match");
  if (match === null && none === null)
    return errorAnswer(
      428,
      "no-precondition",
      'a text is written over a known one (If-Match: "its SHA-256") or as a new one (If-None-Match: *)',
    );
  if (match === null && none === "*") return "absent";
  const sha256 = /^"([0-9a-f]{64})"$/.exec(match ?? "")?.[1];
  if (none !== null || sha256 === undefined)
    return errorAnswer(
      400,
      "precondition",
      'one of If-Match: "SHA-256" and If-None-Match: * is due',
    );
  return { sha256 };
}

/** The whole body, given up as soon as it is longer than a design. */
async function bodyOf(request: Request): Promise<Uint8Array> {
  checkSize(Number(request.headers.get("Content-Length") ?? 0));
  const parts: Uint8Array[] = [];
  let size = 0;
  const reader = request.body?.getReader();
  for (let read = await reader?.read(); read?.value !== undefined; read = await reader?.read()) {
    size += read.value.length;
    if (size > DESIGN_SIZE_MAX_BYTES) {
      await reader?.cancel();
      tooLarge(`more than ${DESIGN_SIZE_MAX_BYTES} bytes`);
    }
    parts.push(read.value);
  }
  const bytes = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}
