/** A design file as the store keeps it. */
export interface StoredDesign {
  name: string;
  /** The exact text, a byte order mark included. */
  text: string;
  /** SHA-256 of its bytes in UTF-8, 64 digits in lower case. */
  sha256: string;
}

/** A design file in the list of the folder. */
export interface ListedDesign {
  name: string;
  bytes: number;
  /** Time of its last change, ISO 8601 in UTC; "" where that can't be known. */
  modified: string;
  /** null for a file that can't be read. */
  sha256: string | null;
  /** `name` in the design, where it has one. */
  title?: string;
  /** Why it can't be read, as a sentence; absent for a file that can. */
  reason?: string;
}

/** What the writer takes the file to be: the text of this hash, or not there yet. */
export type Expected = { sha256: string } | "absent";

export type Written =
  | { kind: "written"; sha256: string; created: boolean }
  /** The file is another than expected, and was left alone; null when there is none. */
  | { kind: "conflict"; current: StoredDesign | null };

/** What happened to one file; null when it went, or can't be read any more. */
export interface StoreChange {
  name: string;
  sha256: string | null;
}

/**
 * Where designs are kept. Every call refuses a name that `nameProblem` refuses, and throws
 * `StoreRefusal` for what it can't do.
 */
export interface DesignStore {
  /** Name of the folder, without the way to it. */
  readonly label: string;
  /** Design files by name, sorted; those that can't be read with their reason. */
  list(): Promise<ListedDesign[]>;
  read(name: string): Promise<StoredDesign>;
  /**
   * Writes the whole text or nothing. Two calls at once never mix: the second sees what the first
   * wrote. The text need not be a design that can be used.
   */
  write(name: string, text: string, expected: Expected): Promise<Written>;
  /**
   * Tells every change from the time on that the promise is kept, those by `write` included, until
   * the function that it gives is called.
   */
  watch(listener: (change: StoreChange) => void): Promise<() => void>;
}

/** Why a store can't do what is asked. */
export type RefusalCode =
  | "name"
  | "no-such-design"
  | "no-folder"
  | "outside"
  | "not-a-file"
  | "not-utf-8"
  | "too-large"
  | "no-permission"
  | "disk-full"
  | "not-readable"
  | "not-writable";

/** A refusal with its sentence for a person. It names no path outside the folder. */
export class StoreRefusal extends Error {
  readonly code: RefusalCode;

  constructor(code: RefusalCode, message: string) {
    super(message);
    this.code = code;
  }
}
