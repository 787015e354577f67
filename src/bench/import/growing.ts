const BLOCK = 1 << 18;

/** A column of doubles that grows by blocks, so that nothing is copied until it is whole. */
export class GrowingColumn {
  #blocks: Float64Array[] = [];
  /** Block that is being filled, and where the next number goes. */
  block = new Float64Array(BLOCK);
  at = 0;

  push(value: number): void {
    if (this.at === BLOCK) this.next();
    this.block[this.at++] = value;
  }

  next(): void {
    this.#blocks.push(this.block);
    this.block = new Float64Array(BLOCK);
    this.at = 0;
  }

  get length(): number {
    return this.#blocks.length * BLOCK + this.at;
  }

  /** All of it in one array; the blocks are given up. */
  whole(): Float64Array {
    if (this.#blocks.length === 0) {
      const only = this.block.slice(0, this.at);
      this.block = new Float64Array(0);
      return only;
    }
    const all = new Float64Array(this.length);
    const last = this.block.subarray(0, this.at);
    const count = this.#blocks.length;
    for (let k = 0; k < count; k++) {
      all.set(this.#blocks[k] as Float64Array, k * BLOCK);
      this.#blocks[k] = EMPTY;
    }
    all.set(last, count * BLOCK);
    this.#blocks = [];
    this.block = EMPTY;
    this.at = 0;
    return all;
  }
}

const EMPTY = new Float64Array(0);
export const ROWS_A_BLOCK = BLOCK;

/** Which row of the file an element of the arrays stands in, kept as the places where lines were passed over. */
export class RowNumbers {
  #index: number[] = [];
  #shift: number[] = [];
  readonly first: number;

  constructor(first: number) {
    this.first = first;
  }

  /** From element `index` on, rows stand at first + index + shift. */
  shifted(index: number, shift: number): void {
    const last = this.#index.length - 1;
    if (last >= 0 && this.#index[last] === index) this.#shift[last] = shift;
    else {
      this.#index.push(index);
      this.#shift.push(shift);
    }
  }

  rowOf(index: number): number {
    let low = 0;
    let high = this.#index.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.#index[middle] as number) <= index) low = middle + 1;
      else high = middle;
    }
    return this.first + index + (low === 0 ? 0 : (this.#shift[low - 1] as number));
  }
}
