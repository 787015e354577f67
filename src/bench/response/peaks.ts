import type { ModeStart } from "./model.ts";

/** A peak of an amplitude curve and where the curve falls to fractions of it. */
export interface Peak {
  index: number;
  frequency: number;
  height: number;
  /** Width at 1/√2 of the height, null where the curve does not fall that far on both sides. */
  width: number | null;
}

/** Frequencies left and right of a peak at which the curve first falls to a fraction of its height; null: not inside. */
export function crossingsAt(
  frequency: ArrayLike<number>,
  amplitude: ArrayLike<number>,
  peak: { index: number; height: number },
  fraction: number,
): { left: number | null; right: number | null } {
  const level = fraction * peak.height;
  const side = (step: 1 | -1): number | null => {
    for (let i = peak.index; i + step >= 0 && i + step < amplitude.length; i += step) {
      const a = amplitude[i]!;
      const b = amplitude[i + step]!;
      if (b <= level && a > b)
        return frequency[i]! + ((a - level) / (a - b)) * (frequency[i + step]! - frequency[i]!);
    }
    return null;
  };
  return { left: side(-1), right: side(1) };
}

/** Parabola through the highest three points. */
export function peakAt(
  frequency: ArrayLike<number>,
  amplitude: ArrayLike<number>,
  index: number,
): Peak {
  let x = frequency[index]!;
  let height = amplitude[index]!;
  if (index > 0 && index < amplitude.length - 1) {
    const [x0, x1, x2] = [frequency[index - 1]!, frequency[index]!, frequency[index + 1]!];
    const [y0, y1, y2] = [amplitude[index - 1]!, amplitude[index]!, amplitude[index + 1]!];
    const d0 = (y1 - y0) / (x1 - x0);
    const d1 = (y2 - y1) / (x2 - x1);
    const bend = (d1 - d0) / (x2 - x0);
    if (bend < 0) {
      const slope = d0 + bend * (x1 - x0);
      x = x1 - slope / (2 * bend);
      height = y1 - (slope * slope) / (4 * bend);
    }
  }
  const { left, right } = crossingsAt(frequency, amplitude, { index, height }, Math.SQRT1_2);
  return {
    index,
    frequency: x,
    height,
    width: left === null || right === null ? null : right - left,
  };
}

/**
 * The `count` highest peaks that are no neighbours of a higher one (farther than its half-power width, and with a dip to
 * 0.8 of the lower one between them), in order of frequency. Fewer when the curve has fewer.
 */
export function highestPeaks(
  frequency: ArrayLike<number>,
  amplitude: ArrayLike<number>,
  count: number,
): Peak[] {
  const n = amplitude.length;
  const candidates: number[] = [];
  for (let i = 0; i < n; i++) {
    const left = i === 0 ? Number.NEGATIVE_INFINITY : amplitude[i - 1]!;
    const right = i === n - 1 ? Number.NEGATIVE_INFINITY : amplitude[i + 1]!;
    if (amplitude[i]! >= left && amplitude[i]! > right) candidates.push(i);
  }
  candidates.sort((a, b) => amplitude[b]! - amplitude[a]!);
  const peaks: Peak[] = [];
  for (const i of candidates) {
    if (peaks.length === count) break;
    const near = peaks.some((p) => {
      if (p.width !== null && Math.abs(frequency[i]! - p.frequency) < p.width) return true;
      let low = amplitude[i]!;
      for (let k = Math.min(i, p.index); k <= Math.max(i, p.index); k++)
        low = Math.min(low, amplitude[k]!);
      return low > 0.8 * amplitude[i]!;
    });
    if (!near) peaks.push(peakAt(frequency, amplitude, i));
  }
  return peaks.sort((a, b) => a.frequency - b.frequency);
}

/** A start for the fit: width from half power, or a thirtieth of the frequency where it is not seen. */
export function startOf(peak: Peak): ModeStart {
  const width = peak.width ?? peak.frequency / 30;
  // At resonance |H| = a f_k/g.
  return {
    frequency: peak.frequency,
    width,
    amplitude: (peak.height * width) / peak.frequency,
  };
}
