import type { CalibratedLine } from "../../worker/benchRequests.ts";

/** Half of the picture, in standard uncertainties of the difference as designed. */
const REACH = 5;
const ROW = 22;
const LEFT = 190;
const WIDTH = 560;

/**
 * Each measured value in the middle, a bar of ± 2 of its standard uncertainties; where the design put it, hollow, and
 * where the calibrated one puts it, filled, each with its own ± 2 u.
 */
export function CalibrateFigure({ values }: { values: readonly CalibratedLine[] }) {
  const height = ROW * values.length + 34;
  const middle = LEFT + (WIDTH - LEFT) / 2;
  const unit = (WIDTH - LEFT - 24) / (2 * REACH);
  const x = (u: number) => middle + unit * Math.max(-REACH, Math.min(REACH, u));
  const words = values.map(
    ({ name, enBefore, enAfter }) =>
      `${name}: En ${enBefore.toFixed(2)} as designed${enAfter === null ? "" : `, ${enAfter.toFixed(2)} calibrated`}`,
  );
  return (
    <figure className="calibrate-figure">
      <svg viewBox={`0 0 ${WIDTH} ${height}`} role="img" aria-label={words.join("; ")}>
        <line x1={middle} x2={middle} y1={2} y2={ROW * values.length + 2} className="en-line" />
        {values.map(({ name, from, place }, i) => {
          const y = ROW * i + ROW / 2 + 2;
          return (
            <g key={`${name} ${from}`}>
              <text x={LEFT - 12} y={y + 4} textAnchor="end">
                {name}
              </text>
              <rect
                x={x(-2 * place.uMeasured)}
                y={y - 8}
                width={Math.max(1.5, x(2 * place.uMeasured) - x(-2 * place.uMeasured))}
                height={16}
                className="en-band"
              />
              <Mark at={place.before} u={place.uBefore} y={y - 3} x={x} hollow />
              <Mark at={place.after} u={place.uAfter} y={y + 4} x={x} />
            </g>
          );
        })}
        {[-4, -2, 0, 2, 4].map((u) => (
          <text key={u} x={x(u)} y={ROW * values.length + 18} textAnchor="middle" className="tick">
            {u === 0 ? "measured" : `${u > 0 ? "+" : "−"}${Math.abs(u)}`}
          </text>
        ))}
      </svg>
      <figcaption>
        Hollow: as designed; filled: calibrated; lines and band: ± 2 standard uncertainties of each
        and of what was measured. Axis: differences over the standard uncertainty of the difference
        as designed; beyond ± 2 they do not agree.
      </figcaption>
    </figure>
  );
}

function Mark({
  at,
  u,
  y,
  x,
  hollow = false,
}: {
  at: number;
  u: number;
  y: number;
  x: (u: number) => number;
  hollow?: boolean;
}) {
  const beyond = Math.abs(at) > REACH;
  const way = at > 0 ? 1 : -1;
  const px = x(at);
  return (
    <g className={hollow ? "mark hollow" : "mark"}>
      <line x1={x(at - 2 * u)} x2={x(at + 2 * u)} y1={y} y2={y} />
      {beyond ? (
        <path d={`M${px - 5 * way} ${y - 4} L${px + 2 * way} ${y} L${px - 5 * way} ${y + 4} Z`} />
      ) : (
        <circle cx={px} cy={y} r={3.4} />
      )}
    </g>
  );
}
