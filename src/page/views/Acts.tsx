import { sheetNow, usePage } from "../state.ts";

const RANKS = ["strongest", "second", "third", "fourth", "fifth"];

/** Mark at an input that acts on the touched requirement: its rank, and which way helps. */
export function Acts({ inputKey }: { inputKey: string }) {
  const mark = usePage((state) => {
    if (state.margin === null) return null;
    const row = sheetNow(state)?.margins.find(({ id }) => id === state.margin);
    const rows =
      row?.acts ?? state.full?.result.margins.find(({ id }) => id === state.margin)?.acts;
    if (rows === undefined) return null;
    const rank = rows.findIndex(({ key }) => key === inputKey);
    if (rank < 0) return null;
    const { per_relative_change } = rows[rank]!;
    return `${rank}:${per_relative_change}`;
  });
  if (mark === null) return null;
  const [rank, slope] = mark.split(":").map(Number) as [number, number];
  const words = RANKS[rank] ?? `no. ${rank + 1}`;
  const gain = Math.abs(slope) * 0.1 * 100;
  const percent = gain >= 10 ? gain.toFixed(0) : gain.toFixed(1);
  return (
    <span className="acts" title={`10 % of it is worth ${percent} % of the margin`}>
      {words}: {slope > 0 ? "raise" : "lower"}
    </span>
  );
}
