import { uniformFloat64 } from "pure-rand/distribution/uniformFloat64";
import { xoroshiro128plusFromState } from "pure-rand/generator/xoroshiro128plus";

/** Random numbers of one stream. */
export interface RandomStream {
  /** In [0, 1). */
  uniform(): number;
  /** Mean 0, standard deviation 1. */
  normal(): number;
}

/**
 * Stream i of a seed: depends on (seed, i) alone, so the order of streams, or how many workers
 * share them, changes nothing. Generator xoroshiro128+ (D. Blackman, S. Vigna 2018), its state
 * spread from seed and i by a multiply–xorshift mixer so that neighbouring streams are unrelated.
 * @param seed integer, 0 to 2^53 − 1
 * @param i integer, 0 to 2^53 − 1
 */
export function randomStream(seed: number, i: number): RandomStream {
  if (!(Number.isSafeInteger(seed) && seed >= 0))
    throw new RangeError(`seed must be an integer from 0 to 2^53 - 1: got ${seed}`);
  if (!(Number.isSafeInteger(i) && i >= 0))
    throw new RangeError(`stream must be an integer from 0 to 2^53 - 1: got ${i}`);
  const next = mixer(seed, i);
  const generator = xoroshiro128plusFromState([next(), next(), next(), next() | 1]);
  let spare: number | null = null;
  const uniform = () => uniformFloat64(generator);
  return {
    uniform,
    // Polar method, G. Marsaglia, T. A. Bray, SIAM Review 6 (1964) 260–264.
    normal() {
      if (spare !== null) {
        const kept = spare;
        spare = null;
        return kept;
      }
      for (;;) {
        const u = 2 * uniform() - 1;
        const v = 2 * uniform() - 1;
        const square = u * u + v * v;
        if (square >= 1 || square === 0) continue;
        const factor = Math.sqrt((-2 * Math.log(square)) / square);
        spare = v * factor;
        return u * factor;
      }
    },
  };
}

const TWO_32 = 4294967296;

/** 32-bit words from a Weyl sequence through murmur3's finaliser, started from all 106 bits. */
function mixer(seed: number, i: number): () => number {
  let state = 0;
  for (const word of [seed, Math.floor(seed / TWO_32), i, Math.floor(i / TWO_32)])
    state = finalise((state ^ (word | 0)) + 0x9e3779b9);
  return () => {
    state = (state + 0x9e3779b9) | 0;
    return finalise(state);
  };
}

function finalise(word: number): number {
  let h = word | 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}
