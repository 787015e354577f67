/** What a command may touch of the outside: handed in, so that a test can stand in for it. */
export interface Host {
  /** Writes the result. */
  out(text: string): void;
  /** Writes everything else. */
  err(text: string): void;
  /** Whether stdout is a terminal. */
  terminal: boolean;
  /** Columns of that terminal; null when it is none. */
  columns: number | null;
  env: Readonly<Record<string, string | undefined>>;
  stdin(): AsyncIterable<Uint8Array | string>;
  /** Kept when the user ends the program; without a call, that is an interrupt (exit code 130). */
  ended(): Promise<void>;
}
