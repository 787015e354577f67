import { textOf } from "./bytesText.ts";
import { FormatProblem } from "./formatProblem.ts";
import type { ArrayColumn, ArrayTable } from "./table.ts";

/*
 * NPY files, versions 1 to 3: NumPy Enhancement Proposal 1 (R. Kern 2007) and the documentation of numpy.lib.format.
 * Magic 0x93 "NUMPY", two version bytes, length of the header (two bytes little-endian in version 1, four in 2 and 3),
 * the header as a Python dictionary with descr, fortran_order and shape, then the elements.
 */

const MAGIC = [0x93, 0x4e, 0x55, 0x4d, 0x50, 0x59];

export const isNpy = (bytes: Uint8Array): boolean =>
  bytes.length >= MAGIC.length && MAGIC.every((byte, i) => bytes[i] === byte);

/** An element of the array: one number, or a field of a structure. */
interface Field {
  name: string;
  /** "<f8". */
  type: string;
  offset: number;
}

interface Header {
  fields: readonly Field[];
  /** Bytes of one element. */
  size: number;
  structured: boolean;
  fortran: boolean;
  shape: readonly number[];
  /** Where the elements begin. */
  data: number;
}

/**
 * The array as columns: one dimension is one column; of two, the shorter side counts the columns, or the second where
 * both are alike; a structured array has one column a field.
 * @throws FormatProblem for anything else, with what was found
 */
export function npyTable(bytes: Uint8Array, label = "array"): ArrayTable {
  const header = headerOf(bytes);
  const { shape, fields, structured, size, data, fortran } = header;
  const elements = shape.reduce((n, side) => n * side, 1);
  const held = bytes.length - data;
  if (held < elements * size)
    throw new FormatProblem(
      `${elements} elements of ${size} bytes by its header, ${held} bytes in the file`,
      "a file that was written to its end",
    );
  const view = new DataView(bytes.buffer, bytes.byteOffset + data, elements * size);
  const notes: string[] = [];
  if (shape.length === 0 || shape.length > 2 || (structured && shape.length !== 1))
    throw new FormatProblem(
      `an array of shape (${shape.join(", ")})`,
      "one dimension, two dimensions, or a structured array of one",
    );
  if (structured || shape.length === 1) {
    const columns = fields.map(({ name, type, offset }) =>
      column(structured ? name : label, type, elements, (i) => i * size + offset, view),
    );
    return { format: "NPY", columns, rows: elements, notes };
  }
  const [first, second] = shape as [number, number];
  const { type } = fields[0] as Field;
  const byRows = second <= first;
  const [rows, count] = byRows ? [first, second] : [second, first];
  if (first === second && first > 1)
    notes.push("as many rows as columns: the second index counts the columns");
  if (!byRows) notes.push(`shape (${first}, ${second}): the first index counts the columns`);
  // Steps in elements along rows and columns of the table.
  const [outer, inner] = fortran ? [1, first] : [second, 1];
  const [alongRow, alongColumn] = byRows ? [outer, inner] : [inner, outer];
  const columns = Array.from({ length: count }, (_, j) =>
    column(`column ${j + 1}`, type, rows, (i) => (i * alongRow + j * alongColumn) * size, view),
  );
  return { format: "NPY", columns, rows, notes };
}

function headerOf(bytes: Uint8Array): Header {
  if (!isNpy(bytes)) throw new FormatProblem("no NPY file", 'the magic bytes 93 "NUMPY"');
  const version = bytes[6] ?? 0;
  if (version < 1 || version > 3)
    throw new FormatProblem(`NPY version ${version}`, "version 1, 2 or 3");
  const wide = version > 1;
  const start = wide ? 12 : 10;
  if (bytes.length < start) throw cut();
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const length = wide ? view.getUint32(8, true) : view.getUint16(8, true);
  if (bytes.length < start + length) throw cut();
  const text = textOf(bytes, start, start + length).trim();
  const value = dictionary(text);
  const { descr, fortran_order: fortran, shape } = value;
  const sides = (Array.isArray(shape) ? shape : [-1]).map(Number);
  const whole = sides.every((side) => Number.isSafeInteger(side) && side >= 0);
  if (typeof fortran !== "boolean" || !whole)
    throw new FormatProblem(`the header ${text.slice(0, 60)}`, "descr, fortran_order and shape");
  const { fields, size } = fieldsOf(descr);
  return {
    fields,
    size,
    structured: Array.isArray(descr),
    fortran,
    shape: sides,
    data: start + length,
  };
}

const cut = () =>
  new FormatProblem("the file ends in its header", "a file that was written to its end");

function fieldsOf(descr: unknown): { fields: Field[]; size: number } {
  if (typeof descr === "string")
    return { fields: [{ name: "", type: descr, offset: 0 }], size: sizeOf(descr) };
  if (!Array.isArray(descr)) throw new FormatProblem("no description of its elements", "descr");
  const fields: Field[] = [];
  let offset = 0;
  for (const item of descr as unknown[]) {
    const [name, type, shape] = Array.isArray(item) ? (item as unknown[]) : [];
    if (typeof type !== "string" || shape !== undefined)
      throw new FormatProblem("a structure inside a structure", "fields of one number each");
    // Titles stand as (title, name); padding has no name.
    const called = Array.isArray(name) ? String(name[1]) : String(name ?? "");
    if (/^[|<>=]?V\d+$/.test(type) && called === "") offset += Number(type.replace(/\D/g, ""));
    else {
      fields.push({ name: called, type, offset });
      offset += sizeOf(type);
    }
  }
  return { fields, size: offset };
}

const NUMERIC = /^([<>|=]?)(f[248]|[iu][1248]|b1|\?)$/;

function sizeOf(type: string): number {
  if (NUMERIC.test(type)) return type.endsWith("?") ? 1 : Number(type.slice(-1));
  const text = /^[<>|=]?([SUV])(\d+)$/.exec(type);
  if (text !== null) return Number(text[2]) * (text[1] === "U" ? 4 : 1);
  const time = /^[<>|=]?[mM]8/.test(type);
  if (time) return 8;
  throw new FormatProblem(`elements of type "${type}"`, "floats, whole numbers or logical values");
}

function column(
  name: string,
  type: string,
  rows: number,
  at: (i: number) => number,
  view: DataView,
): ArrayColumn {
  const match = NUMERIC.exec(type);
  if (match === null) return { name, unit: null, values: null };
  const little = match[1] !== ">";
  const get = getter(match[2] as string, view, little);
  const values = new Float64Array(rows);
  for (let i = 0; i < rows; i++) values[i] = get(at(i));
  return { name, unit: null, values };
}

function getter(type: string, view: DataView, little: boolean): (at: number) => number {
  switch (type) {
    case "f8":
      return (at) => view.getFloat64(at, little);
    case "f4":
      return (at) => view.getFloat32(at, little);
    case "f2":
      return (at) => half(view.getUint16(at, little));
    case "i8":
      return (at) => Number(view.getBigInt64(at, little));
    case "u8":
      return (at) => Number(view.getBigUint64(at, little));
    case "i4":
      return (at) => view.getInt32(at, little);
    case "u4":
      return (at) => view.getUint32(at, little);
    case "i2":
      return (at) => view.getInt16(at, little);
    case "u2":
      return (at) => view.getUint16(at, little);
    case "i1":
      return (at) => view.getInt8(at);
    default:
      return (at) => view.getUint8(at);
  }
}

/** IEEE 754 binary16. */
function half(bits: number): number {
  const sign = bits & 0x8000 ? -1 : 1;
  const exponent = (bits >> 10) & 31;
  const fraction = bits & 1023;
  if (exponent === 0) return sign * fraction * 2 ** -24;
  if (exponent === 31) return fraction === 0 ? sign * Number.POSITIVE_INFINITY : Number.NaN;
  return sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
}

type Literal = string | number | boolean | null | Literal[] | { [key: string]: Literal };

/** A Python literal of dictionaries, tuples, lists, texts, whole numbers and logical values. */
function dictionary(text: string): Record<string, Literal> {
  let i = 0;
  const fail = () => new FormatProblem(`the header ${text.slice(0, 60)}`, "a Python dictionary");
  const blank = () => {
    while (/\s/.test(text[i] ?? "")) i++;
  };
  const value = (depth: number): Literal => {
    blank();
    const c = text[i];
    if (depth > 8 || c === undefined) throw fail();
    if (c === "'" || c === '"') {
      const end = text.indexOf(c, i + 1);
      if (end < 0) throw fail();
      const read = text.slice(i + 1, end);
      i = end + 1;
      return read;
    }
    if (c === "(" || c === "[") return list(c === "(" ? ")" : "]", depth);
    if (c === "{") return map(depth);
    const word = /^(?:True|False|None|-?\d+)L?/.exec(text.slice(i))?.[0];
    if (word === undefined) throw fail();
    i += word.length;
    if (word === "True" || word === "False") return word === "True";
    return word === "None" ? null : Number(word.replace("L", ""));
  };
  const list = (close: string, depth: number): Literal[] => {
    const items: Literal[] = [];
    i++;
    for (;;) {
      blank();
      if (text[i] === close) break;
      items.push(value(depth + 1));
      blank();
      if (text[i] === ",") i++;
      else if (text[i] !== close) throw fail();
    }
    i++;
    return items;
  };
  const map = (depth: number): Record<string, Literal> => {
    const out: Record<string, Literal> = {};
    i++;
    for (;;) {
      blank();
      if (text[i] === "}") break;
      const key = value(depth + 1);
      blank();
      if (text[i++] !== ":" || typeof key !== "string") throw fail();
      out[key] = value(depth + 1);
      blank();
      if (text[i] === ",") i++;
      else if (text[i] !== "}") throw fail();
    }
    i++;
    return out;
  };
  const read = value(0);
  if (read === null || typeof read !== "object" || Array.isArray(read)) throw fail();
  return read;
}
