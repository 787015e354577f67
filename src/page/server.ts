/** What the local server keeps: the folder of designs. All calls go to the page's own origin. */

export interface FolderFile {
  name: string;
  bytes: number;
  modified: string;
  /** null: the file can't be read. */
  sha256: string | null;
  title?: string;
  /** Why the file can't be read, where it can't. */
  reason?: string;
}

export interface Folder {
  folder: string;
  files: FolderFile[];
  version: string;
  revision: string | null;
}

export interface DiskDesign {
  name: string;
  text: string;
  sha256: string;
}

export type Saved =
  | { kind: "saved"; sha256: string }
  /** The file on disk is another than the one that was opened; null when it is gone. */
  | { kind: "conflict"; current: { text: string; sha256: string } | null }
  | { kind: "refused"; message: string };

/** The server did not answer. */
export class ServerGone extends Error {
  constructor() {
    super("the program behind this page does not answer");
  }
}

/** The server answered that it can't; the message is for a person. */
export class ServerRefusal extends Error {
  readonly status: number;
  constructor(status: number, message: string) {
    super(message);
    this.status = status;
  }
}

async function ask(path: string, init: RequestInit = {}): Promise<Response> {
  const headers = new Headers(init.headers);
  headers.set("X-Reedlift", "1");
  try {
    return await fetch(path, { ...init, headers, cache: "no-store" });
  } catch {
    throw new ServerGone();
  }
}

async function messageOf(response: Response): Promise<string> {
  try {
    const body = (await response.json()) as { error?: { message?: string } };
    return body.error?.message ?? `the program answered ${response.status}`;
  } catch {
    return `the program answered ${response.status}`;
  }
}

async function json<T>(path: string): Promise<T> {
  const response = await ask(path);
  if (!response.ok) throw new ServerRefusal(response.status, await messageOf(response));
  return (await response.json()) as T;
}

const address = (name: string) => `/api/design/${encodeURIComponent(name)}`;

export const readFolder = (): Promise<Folder> => json<Folder>("/api/folder");

export const readFile = (name: string): Promise<DiskDesign> => json<DiskDesign>(address(name));

/** Writes a file: over the one whose hash is given, or as a new one where it is null. */
export async function writeFile(name: string, text: string, over: string | null): Promise<Saved> {
  const response = await ask(address(name), {
    method: "PUT",
    body: text,
    headers: {
      "Content-Type": "text/plain; charset=utf-8",
      ...(over === null ? { "If-None-Match": "*" } : { "If-Match": `"${over}"` }),
    },
  });
  if (response.ok) return { kind: "saved", sha256: ((await response.json()) as DiskDesign).sha256 };
  if (response.status === 412) {
    const body = (await response.json()) as { current: { text: string; sha256: string } | null };
    return { kind: "conflict", current: body.current };
  }
  return { kind: "refused", message: await messageOf(response) };
}

export interface DiskChange {
  name: string;
  /** null: the file is gone. */
  sha256: string | null;
}

/** Follows what happens in the folder; `onState` hears whether the server is there. */
export function followFolder(
  onChange: (change: DiskChange) => void,
  onState: (there: boolean) => void,
): () => void {
  const source = new EventSource("/api/changes");
  source.onopen = () => onState(true);
  source.onerror = () => onState(false);
  source.onmessage = (event) => {
    try {
      onChange(JSON.parse(event.data as string) as DiskChange);
    } catch {
      // A line that is no change is left out: the next one counts.
    }
  };
  return () => source.close();
}
