import { KERNEL_CODE } from "./kernelCode.ts";

/*
 * The compiled step as an instance. The host offers WebAssembly or not (a strict page may forbid it): then there
 * is none, and the plain step does the work.
 */

/** What of the host's WebAssembly is used here. */
interface WebAssemblyHost {
  Module: new (bytes: Uint8Array) => unknown;
  Instance: new (module: unknown, imports: object) => { exports: Record<string, unknown> };
}

declare const WebAssembly: WebAssemblyHost | undefined;

export interface CompiledKernel {
  run(steps: number, index: number, capacity: number): number;
  /** Called by the kernel for the strip's tables of a part of a step; set by who runs it. */
  part: (h: number) => void;
  /** The kernel's memory, with room for so many doubles; a view is stale after it grew. */
  doubles(count: number): Float64Array;
}

interface Memory {
  buffer: ArrayBuffer;
  grow(pages: number): number;
}

const PAGE = 65536;
const DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/** Bytes of a text in base 64 (RFC 4648). */
export function fromBase64(text: string): Uint8Array {
  const clean = text.replace(/=+$/, "");
  const out = new Uint8Array(Math.floor((clean.length * 3) / 4));
  let bits = 0;
  let held = 0;
  let at = 0;
  for (const letter of clean) {
    held = (held << 6) | DIGITS.indexOf(letter);
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    out[at++] = (held >> bits) & 255;
  }
  return out;
}

let module: unknown = null;
let refused = false;
let kept: CompiledKernel | null = null;

/** The kernel, compiled at its first use; null where the host does not allow it. */
export function compiledKernel(): CompiledKernel | null {
  if (kept !== null || refused) return kept;
  try {
    if (typeof WebAssembly === "undefined") throw new RangeError("no WebAssembly");
    module ??= new WebAssembly.Module(fromBase64(KERNEL_CODE));
    const env = {
      abort: () => undefined,
      part: (h: number) => {
        kept?.part(h);
      },
    };
    const { exports } = new WebAssembly.Instance(module, { env });
    const memory = exports.memory as Memory;
    let view = new Float64Array(memory.buffer);
    kept = {
      run: exports.run as CompiledKernel["run"],
      part: () => undefined,
      doubles(count) {
        const missing = count * 8 - view.byteLength;
        if (missing > 0) {
          memory.grow(Math.ceil(missing / PAGE));
          view = new Float64Array(memory.buffer);
        }
        return view;
      },
    };
  } catch {
    refused = true;
  }
  return kept;
}
