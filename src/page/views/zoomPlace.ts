/** How near a drawing is looked at: `k` times, from (x, y) of it in px. */
export interface Zoom {
  k: number;
  x: number;
  y: number;
}

/** A place in the frame that cuts the drawing, px. */
export interface At {
  x: number;
  y: number;
}

export const WHOLE: Zoom = { k: 1, x: 0, y: 0 };
/** Nearest look. */
const MOST = 8;

/** The nearest zoom that shows nothing beside the drawing. */
export function within({ k, x, y }: Zoom, { width, height }: { width: number; height: number }) {
  const near = Math.min(MOST, Math.max(1, k));
  // What was in the middle stays there.
  const [cx, cy] = [x + width / 2 / k, y + height / 2 / k];
  const inside = (from: number, side: number) => Math.min(side - side / near, Math.max(0, from));
  return {
    k: near,
    x: inside(cx - width / 2 / near, width),
    y: inside(cy - height / 2 / near, height),
  };
}

/** `factor` times nearer, what lies at `at` staying there. */
export function zoomedAt({ k, x, y }: Zoom, factor: number, at: At): Zoom {
  const near = Math.min(MOST, Math.max(1, k * factor));
  return { k: near, x: x + at.x / k - at.x / near, y: y + at.y / k - at.y / near };
}

/** Zoom after one or two fingers went from `from` to `to`: what lay under them stays there. */
export function pinchedZoom(zoom: Zoom, from: readonly At[], to: readonly At[]): Zoom {
  const [a, b] = [middle(from), middle(to)];
  const apart = ([p, q]: readonly At[]) =>
    p === undefined || q === undefined ? 1 : Math.max(1, Math.hypot(p.x - q.x, p.y - q.y));
  const near = zoomedAt(zoom, apart(to) / apart(from), a);
  return { ...near, x: near.x + (a.x - b.x) / near.k, y: near.y + (a.y - b.y) / near.k };
}

function middle(places: readonly At[]): At {
  const two = places.slice(0, 2);
  const sum = two.reduce((s, at) => ({ x: s.x + at.x, y: s.y + at.y }), { x: 0, y: 0 });
  return { x: sum.x / Math.max(1, two.length), y: sum.y / Math.max(1, two.length) };
}
