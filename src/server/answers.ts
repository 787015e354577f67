import { type RefusalCode, StoreRefusal } from "./store.ts";

/** Status of each refusal of a store. */
const STATUS: Readonly<Record<RefusalCode, number>> = {
  name: 400,
  "no-such-design": 404,
  "no-folder": 404,
  outside: 403,
  "not-a-file": 403,
  "not-utf-8": 422,
  "too-large": 413,
  "no-permission": 403,
  "disk-full": 507,
  "not-readable": 500,
  "not-writable": 500,
};

/** An answer in JSON that no one keeps. */
export function jsonAnswer(
  value: unknown,
  status = 200,
  headers: Readonly<Record<string, string>> = {},
): Response {
  return new Response(JSON.stringify(value), {
    status,
    headers: {
      "Content-Type": "application/json; charset=utf-8",
      "Cache-Control": "no-store",
      ...headers,
    },
  });
}

/** `{error: {code, message}}`: a fixed word for programs, a sentence for a person. */
export const errorAnswer = (
  status: number,
  code: string,
  message: string,
  headers: Readonly<Record<string, string>> = {},
): Response => jsonAnswer({ error: { code, message } }, status, headers);

/** The answer to whatever was thrown. Only a store's own refusals are told; the rest is a fault. */
export function thrownAnswer(error: unknown): Response {
  if (error instanceof StoreRefusal)
    return errorAnswer(STATUS[error.code], error.code, error.message);
  return errorAnswer(500, "fault", "a fault of the program; nothing was written");
}
