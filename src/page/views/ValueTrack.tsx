import type { FieldSpec } from "./fields.ts";

/** Placeholder row until windows of inputs are there. */
export function ValueTrack(_: { spec: FieldSpec; text: string }) {
  return null;
}
