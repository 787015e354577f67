/**
 * Ports from 1024 on at which no browser opens a page, since other services speak there (Fetch
 * Standard, WHATWG, "port blocking"; the test compares with what Node's fetch refuses).
 */
const BLOCKED: ReadonlySet<number> = new Set([
  1719, 1720, 1723, 2049, 3659, 4045, 4190, 5060, 5061, 6000, 6566, 6665, 6666, 6667, 6668, 6669,
  6679, 6697, 10080,
]);

/** Whether browsers refuse to open a page at this port. */
export const browsersRefuse = (port: number): boolean => BLOCKED.has(port);
