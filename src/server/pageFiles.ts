import { errorAnswer } from "./answers.ts";

/** The files of the built page. */
export interface PageFiles {
  /** Bytes of "index.html" or "assets/NAME"; null when there is no such file. */
  read(path: string): Promise<Uint8Array<ArrayBuffer> | null>;
}

const TYPES: Readonly<Record<string, string>> = {
  html: "text/html; charset=utf-8",
  js: "text/javascript; charset=utf-8",
  css: "text/css; charset=utf-8",
  json: "application/json; charset=utf-8",
  map: "application/json; charset=utf-8",
  webmanifest: "application/manifest+json",
  svg: "image/svg+xml; charset=utf-8",
  png: "image/png",
  ico: "image/x-icon",
  woff2: "font/woff2",
  wasm: "application/wasm",
  txt: "text/plain; charset=utf-8",
};

const ASSET = /^\/assets\/([A-Za-z0-9_][A-Za-z0-9_.-]*)$/;
/** A name with its content's hash never means anything else. */
const HASHED = /-[A-Za-z0-9]{8,}\.[A-Za-z0-9.]+$/;

/** Encodings with the ending of the file that holds them, the smaller first. */
const ENCODINGS = [
  ["br", ".br"],
  ["gzip", ".gz"],
] as const;

/** The page's file that a path means; compressed where the browser takes it and it lies there so. */
export async function pageAnswer(request: Request, page: PageFiles): Promise<Response> {
  const { pathname } = new URL(request.url);
  const asset = ASSET.exec(pathname)?.[1];
  if (pathname !== "/" && asset === undefined) return noSuchFile();
  const path = asset === undefined ? "index.html" : `assets/${asset}`;
  const plain = await page.read(path);
  if (plain === null) return asset === undefined ? noPage() : noSuchFile();
  const ending = path.slice(path.lastIndexOf(".") + 1);
  const headers = new Headers({
    "Content-Type": TYPES[ending] ?? "application/octet-stream",
    "Cache-Control":
      asset !== undefined && HASHED.test(asset)
        ? "public, max-age=31536000, immutable"
        : "no-cache",
    Vary: "Accept-Encoding",
  });
  const taken = acceptedEncodings(request.headers.get("Accept-Encoding") ?? "");
  for (const [encoding, end] of ENCODINGS) {
    const bytes = taken(encoding) ? await page.read(`${path}${end}`) : null;
    if (bytes === null) continue;
    headers.set("Content-Encoding", encoding);
    return withLength(bytes, headers);
  }
  return withLength(plain, headers);
}

function withLength(bytes: Uint8Array<ArrayBuffer>, headers: Headers): Response {
  headers.set("Content-Length", String(bytes.length));
  return new Response(bytes, { headers });
}

/** Which encodings an Accept-Encoding header takes: those it names with a weight above 0. */
function acceptedEncodings(header: string): (encoding: string) => boolean {
  const weights = new Map<string, number>();
  for (const part of header.split(",")) {
    const [name = "", ...parameters] = part.split(";").map((piece) => piece.trim().toLowerCase());
    const weight = parameters.find((parameter) => parameter.startsWith("q="));
    weights.set(name, weight === undefined ? 1 : Number(weight.slice(2)));
  }
  return (encoding) => (weights.get(encoding) ?? weights.get("*") ?? 0) > 0;
}

const noSuchFile = () => errorAnswer(404, "no-such-file", "the page has no such file");
const noPage = () => errorAnswer(404, "no-page", "the page is not built: npm run build");
