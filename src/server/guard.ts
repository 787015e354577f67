import { errorAnswer } from "./answers.ts";

/*
 * The server listens on loopback, where every page of the browser can reach it too. What keeps other
 * pages out: the Host must be one of ours, so that a foreign name that was pointed at 127.0.0.1 is of
 * no use; a call must come from this page (Origin, Sec-Fetch-Site); a call that changes something needs
 * a header that a browser lets a foreign page send only after asking, and asking is never granted.
 */

/** The header that every call which changes something carries, with any value. */
export const OWN_HEADER = "X-Reedlift";

/** The values of Host that mean this server. */
export function hostsAt(port: number): ReadonlySet<string> {
  const names = ["127.0.0.1", "localhost", "[::1]"];
  return new Set(names.flatMap((name) => [`${name}:${port}`, ...(port === 80 ? [name] : [])]));
}

/** The refusal of a request that this page did not make; null when nothing speaks against it. */
export function refusedRequest(request: Request, hosts: ReadonlySet<string>): Response | null {
  const url = new URL(request.url);
  const own = (host: string) => hosts.has(host.toLowerCase());
  const host = (request.headers.get("Host") ?? url.host).toLowerCase();
  const addressed = url.port === "" ? `${url.host}:80` : url.host;
  if (!own(host) || !(own(url.host) || own(addressed)))
    return errorAnswer(421, "foreign-host", "this server answers to its own address only");
  if (!/^\/api(\/|$)/.test(url.pathname)) return null;

  const origin = request.headers.get("Origin");
  const site = request.headers.get("Sec-Fetch-Site");
  if ((origin !== null && origin !== `http://${host}`) || (site !== null && site !== "same-origin"))
    return errorAnswer(403, "foreign-origin", "only the page of this server may call it");
  const reads = request.method === "GET" || request.method === "HEAD";
  if (!reads && !request.headers.has(OWN_HEADER))
    return errorAnswer(403, "no-own-header", `a call that changes something needs ${OWN_HEADER}`);
  return null;
}

/** What the page may load and do: its own files, nothing else; pictures that it made itself. */
const POLICY = [
  "default-src 'none'",
  // The step of the pulse comes compiled: WebAssembly may run, evaluated text not.
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

/** Abilities of a browser that the page does without. */
const ABILITIES = [
  "accelerometer",
  "autoplay",
  "camera",
  "display-capture",
  "encrypted-media",
  "geolocation",
  "gyroscope",
  "hid",
  "idle-detection",
  "magnetometer",
  "microphone",
  "midi",
  "payment",
  "publickey-credentials-get",
  "screen-wake-lock",
  "serial",
  "usb",
  "xr-spatial-tracking",
];

const FENCE: Readonly<Record<string, string>> = {
  "Content-Security-Policy": POLICY,
  "X-Content-Type-Options": "nosniff",
  "Referrer-Policy": "no-referrer",
  "Cross-Origin-Opener-Policy": "same-origin",
  "Cross-Origin-Resource-Policy": "same-origin",
  "Permissions-Policy": ABILITIES.map((name) => `${name}=()`).join(", "),
};

/** Puts what every answer carries on one. */
export function fenced(response: Response): Response {
  for (const [name, value] of Object.entries(FENCE)) response.headers.set(name, value);
  return response;
}
