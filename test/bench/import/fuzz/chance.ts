import { type RandomStream, randomStream } from "../../../../src/numerics/random.ts";

/** Choices of one stream. */
export class Chance {
  readonly #stream: RandomStream;

  constructor(seed: number, i: number) {
    this.#stream = randomStream(seed, i);
  }

  /** Whole number from 0 to n − 1. */
  below(n: number): number {
    return Math.floor(this.#stream.uniform() * n);
  }

  of<T>(items: readonly T[]): T {
    return items[this.below(items.length)] as T;
  }

  /** True with this probability. */
  yes(share = 0.5): boolean {
    return this.#stream.uniform() < share;
  }
}
