/** Stretches of neighbouring values that are all met, from the first to the last of each. */
export function metSpans(tried: readonly { gate: number; met: boolean }[]): [number, number][] {
  const spans: [number, number][] = [];
  let open = false;
  for (const { gate, met } of tried) {
    const last = spans.at(-1);
    if (!met) open = false;
    else if (open && last !== undefined) last[1] = gate;
    else {
      spans.push([gate, gate]);
      open = true;
    }
  }
  return spans;
}
