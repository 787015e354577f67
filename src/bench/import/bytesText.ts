/*
 * Bytes to text for the few lines that are shown and searched. UTF-8; where it is none the byte counts as a
 * character of Latin-1, in which many instruments write µ and °.
 */

export function textOf(bytes: Uint8Array, from = 0, to = bytes.length): string {
  let text = "";
  let run: number[] = [];
  let i = from;
  while (i < to) {
    const first = bytes[i] as number;
    let code = first;
    let length = 1;
    if (first >= 0xc2) {
      const follow = first < 0xe0 ? 1 : first < 0xf0 ? 2 : first < 0xf5 ? 3 : 0;
      const joined = follow > 0 && i + follow < to ? continued(bytes, i, follow) : -1;
      if (joined >= 0) {
        code = joined;
        length = follow + 1;
      }
    }
    run.push(code);
    if (run.length === 4096) {
      text += String.fromCodePoint(...run);
      run = [];
    }
    i += length;
  }
  return text + String.fromCodePoint(...run);
}

const LEAST = [0, 0x80, 0x800, 0x10000];

/** The character whose first byte stands at `i`, -1 when what follows does not continue it. */
function continued(bytes: Uint8Array, i: number, follow: number): number {
  let code = (bytes[i] as number) & (0x3f >> follow);
  for (let k = 1; k <= follow; k++) {
    const byte = bytes[i + k] as number;
    if ((byte & 0xc0) !== 0x80) return -1;
    code = (code << 6) | (byte & 0x3f);
  }
  const surrogate = code >= 0xd800 && code < 0xe000;
  return code < (LEAST[follow] as number) || code > 0x10ffff || surrogate ? -1 : code;
}

/** Takes byte order marks and UTF-16 out of chunks of bytes. */
export class PlainBytes {
  /** Bytes held until there are enough for a mark; null afterwards. */
  #start: Uint8Array | null = new Uint8Array(0);
  #wide: "little" | "big" | null = null;
  #odd = -1;

  /** The chunk without byte order mark, as 8-bit text; a copy only where something is changed. */
  next(chunk: Uint8Array): Uint8Array {
    let bytes = chunk;
    if (this.#start !== null) {
      bytes = new Uint8Array(this.#start.length + chunk.length);
      bytes.set(this.#start);
      bytes.set(chunk, this.#start.length);
      if (bytes.length < 3) {
        this.#start = bytes;
        return bytes.subarray(0, 0);
      }
      bytes = this.#begun(bytes);
    }
    return this.#wide === null ? bytes : this.#narrow(bytes);
  }

  /** What is still held at the end of a very short file. */
  end(): Uint8Array {
    if (this.#start === null) return new Uint8Array(0);
    const bytes = this.#begun(this.#start);
    return this.#wide === null ? bytes : this.#narrow(bytes);
  }

  #begun(bytes: Uint8Array): Uint8Array {
    this.#start = null;
    const [a, b, c] = bytes;
    if (a === 0xef && b === 0xbb && c === 0xbf) return bytes.subarray(3);
    if (a === 0xff && b === 0xfe) this.#wide = "little";
    else if (a === 0xfe && b === 0xff) this.#wide = "big";
    return this.#wide === null ? bytes : bytes.subarray(2);
  }

  /** Code units of a recorded table are Latin and a few symbols; surrogate pairs become "?". */
  #narrow(bytes: Uint8Array): Uint8Array {
    const out = new Uint8Array(bytes.length * 2 + 3);
    let n = 0;
    let i = 0;
    const unit = (a: number, b: number) => (this.#wide === "little" ? a | (b << 8) : (a << 8) | b);
    const put = (code: number) => {
      if (code < 0x80) out[n++] = code;
      else if (code < 0x800) {
        out[n++] = 0xc0 | (code >> 6);
        out[n++] = 0x80 | (code & 63);
      } else if (code >= 0xd800 && code < 0xe000) out[n++] = 63;
      else {
        out[n++] = 0xe0 | (code >> 12);
        out[n++] = 0x80 | ((code >> 6) & 63);
        out[n++] = 0x80 | (code & 63);
      }
    };
    if (this.#odd >= 0 && bytes.length > 0) {
      put(unit(this.#odd, bytes[0] as number));
      this.#odd = -1;
      i = 1;
    }
    for (; i + 1 < bytes.length; i += 2) put(unit(bytes[i] as number, bytes[i + 1] as number));
    if (i < bytes.length) this.#odd = bytes[i] as number;
    return out.subarray(0, n);
  }
}
