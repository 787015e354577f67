import { expect } from "vitest";

/** Collects estimates of a known truth: how often value ± 1.96 u holds it, and the bias in standard deviations. */
export class Coverage {
  #n = 0;
  #inside = 0;
  #sum = 0;
  #squares = 0;

  add(value: number, u: number, truth: number, factor = 1.959963984540054): void {
    const error = value - truth;
    this.#n++;
    this.#sum += error;
    this.#squares += error * error;
    if (Math.abs(error) <= factor * u) this.#inside++;
  }

  get covered(): number {
    return this.#inside / this.#n;
  }

  /** Bias over the standard deviation of one estimate. */
  get bias(): number {
    const mean = this.#sum / this.#n;
    return mean / Math.sqrt(this.#squares / this.#n - mean * mean);
  }

  check(): void {
    expect(this.#n).toBeGreaterThanOrEqual(1000);
    expect(this.covered).toBeGreaterThanOrEqual(0.92);
    expect(this.covered).toBeLessThanOrEqual(0.98);
    expect(Math.abs(this.bias)).toBeLessThan(0.1);
  }
}
