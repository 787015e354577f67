/** Says on stderr how far a long computation is. */
export interface Progress {
  /** @param share done, 0 to 1 */
  at(share: number): void;
  /** Takes the bar away. */
  end(): void;
}

export interface ProgressLook {
  /** A bar that is drawn again and again, for a terminal; else a line now and then, for a log. */
  bar: boolean;
  ascii: boolean;
  /** What is counted: "pulse", and how many there are. */
  what: string;
  total: number;
  write: (text: string) => void;
  /** Milliseconds of any clock that runs evenly. */
  now: () => number;
}

/** Nothing is said of what is done within this time, ms. */
const PATIENCE = 1500;
/** Least time between two drawings of the bar, and between two lines of a log, ms. */
const BETWEEN = { bar: 100, lines: 10_000 } as const;
/** Share that a line of a log needs to be worth it, unless a minute has passed. */
const WORTH = 0.05;
const LONG = 60_000;
const CELLS = 30;

/** A bar or sparse lines, with an estimate of the time left. */
export function progress(look: ProgressLook): Progress {
  const started = look.now();
  let last = started;
  let lastShare = 0;
  let drawn = 0;
  const words = (share: number, elapsed: number) => {
    const left = (elapsed / share) * (1 - share);
    const done = Math.min(look.total, Math.round(share * look.total));
    return `${done} of ${look.total} ${look.what}s, ${duration(left)} left`;
  };
  return {
    at(share) {
      const now = look.now();
      const elapsed = now - started;
      if (elapsed < PATIENCE || !(share > 0) || share >= 1) return;
      const since = now - last;
      if (look.bar) {
        if (drawn > 0 && since < BETWEEN.bar) return;
        const text = `${bar(share, look.ascii)} ${words(share, elapsed)}`;
        look.write(`\r${text.padEnd(drawn)}`);
        drawn = text.length;
      } else {
        const worth = since >= BETWEEN.lines && share - lastShare >= WORTH;
        if (!worth && since < LONG) return;
        look.write(`${Math.floor(100 * share)} %: ${words(share, elapsed)}\n`);
      }
      last = now;
      lastShare = share;
    },
    end() {
      if (drawn > 0) look.write(`\r${" ".repeat(drawn)}\r`);
      drawn = 0;
    },
  };
}

function bar(share: number, ascii: boolean): string {
  const full = Math.round(share * CELLS);
  const [open, used, left, stop] = ascii ? ["|", "=", "-", "|"] : ["├", "━", "─", "┤"];
  return open + (used as string).repeat(full) + (left as string).repeat(CELLS - full) + stop;
}

function duration(ms: number): string {
  const seconds = Math.max(1, Math.round(ms / 1000));
  if (seconds < 100) return `${seconds} s`;
  if (seconds < 6000) return `${Math.round(seconds / 60)} min`;
  return `${(seconds / 3600).toFixed(1)} h`;
}
