/** A value that an edit can set: a text, number or flag, or a flow collection of them. */
export type EditValue = string | number | boolean | EditValue[] | { [key: string]: EditValue };

/** Words and quantities that need no quotes, inside brackets too. */
const PLAIN = /^(?:[\p{L}µ]|[-+]?\p{N})[\p{L}\p{N}µ _()+%./±·°²³-]*$/u;
/** What YAML 1.2 (core schema) reads as something else than a text. */
const NOT_TEXT =
  /^(?:true|false|null|True|False|Null|TRUE|FALSE|NULL|[-+]?\d+|0o[0-7]+|0x[0-9a-fA-F]+|[-+]?(?:\.\d+|\d+(?:\.\d*)?)(?:[eE][-+]?\d+)?)$/;

/** `text` as a YAML scalar that reads back as the same text, in quotes only where it must be. */
export function yamlWord(text: string): string {
  const plain = PLAIN.test(text) && text.trim() === text && !NOT_TEXT.test(text);
  return plain && !text.includes("  ") ? text : JSON.stringify(text);
}

/** A value on one line. */
export function yamlFlow(value: EditValue): string {
  if (typeof value === "string") return yamlWord(value);
  if (typeof value === "number") {
    if (!Number.isFinite(value)) throw new RangeError(`a finite number is needed: got ${value}`);
    return String(value);
  }
  if (typeof value === "boolean") return String(value);
  if (Array.isArray(value)) return `[${value.map(yamlFlow).join(", ")}]`;
  const pairs = Object.entries(value).map(([key, item]) => `${yamlWord(key)}: ${yamlFlow(item)}`);
  return `{${pairs.join(", ")}}`;
}
