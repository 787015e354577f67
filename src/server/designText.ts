import { isScalar } from "yaml";
import { DESIGN_SIZE_MAX_BYTES, parseDocumentText } from "../design/document.ts";
import { nameProblem } from "./designName.ts";
import { StoreRefusal } from "./store.ts";

/** SHA-256 of bytes, or of a text in UTF-8: 64 digits in lower case. */
export async function sha256Of(content: Uint8Array<ArrayBuffer> | string): Promise<string> {
  const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * The text that bytes hold, a byte order mark included, so that writing it gives the same bytes.
 * @throws StoreRefusal when they are not UTF-8
 */
export function textOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    const hint = bytes.includes(0)
      ? "this looks like a binary file, or text in UTF-16"
      : "save the file as UTF-8";
    throw new StoreRefusal("not-utf-8", `not UTF-8 text; ${hint}`);
  }
}

/** @throws StoreRefusal for a name that is none */
export function checkName(name: string): void {
  const problem = nameProblem(name);
  if (problem !== null) throw new StoreRefusal("name", `the name of a design ${problem}`);
}

/**
 * @param found what the file has, as in "1000001 bytes"
 * @throws StoreRefusal in any case
 */
export function tooLarge(found: string): never {
  throw new StoreRefusal(
    "too-large",
    `the file is too large: ${found}, where ${DESIGN_SIZE_MAX_BYTES} bytes are allowed; a design is a short text; measurements belong beside it`,
  );
}

/** @throws StoreRefusal for a size in bytes that no design has */
export function checkSize(bytes: number): void {
  if (bytes > DESIGN_SIZE_MAX_BYTES) tooLarge(`${bytes} bytes`);
}

/** Longest title of a list, characters. */
const TITLE_LENGTH = 200;

/** `name` in the text of a design; undefined where it has none or the text is not readable. */
export function titleOf(text: string): string | undefined {
  const read = parseDocumentText(text);
  if (!read.ok) return undefined;
  const name = read.parsed.document.get("name", true);
  if (!isScalar(name) || typeof name.value !== "string" || name.value.trim() === "")
    return undefined;
  return name.value.trim().slice(0, TITLE_LENGTH);
}
