import type { Stats } from "node:fs";
import * as disk from "node:fs/promises";
import { dirname, join } from "node:path";

/** What is called of the file system, so that a test can let a call fail. */
export type Disk = Pick<typeof disk, "open" | "rename" | "link" | "rm">;

let count = 0;

/**
 * Writes a file whole or not at all: into a file beside it first, flushed to the disk, then renamed.
 * Whatever fails, the file stands as it was and the one beside it is gone.
 * @param over the file that is replaced, whose rights and owner the new one takes; null to make a new
 *   one, which fails with EEXIST where there is one
 * @param still asked at the last moment before the file is replaced: false gives up
 * @returns false when it was given up
 */
export async function writeWhole(
  path: string,
  bytes: Uint8Array,
  over: Stats | null,
  still: () => Promise<boolean>,
  { open, rename, link, rm }: Disk = disk,
): Promise<boolean> {
  const folder = dirname(path);
  count += 1;
  const temporary = join(folder, `.reedlift-${process.pid}-${count}.part`);
  let handle: disk.FileHandle | undefined;
  try {
    handle = await open(temporary, "wx", over === null ? 0o666 : 0o600);
    await handle.writeFile(bytes);
    if (over !== null) {
      const made = await handle.stat();
      // Only the administrator can give a file away; where it can't be, it is the writer's.
      if (made.uid !== over.uid || made.gid !== over.gid)
        await handle.chown(over.uid, over.gid).catch(() => undefined);
      await handle.chmod(over.mode & 0o777);
    }
    await handle.sync();
    await handle.close();
    handle = undefined;
    if (!(await still())) return false;
    if (over === null) await putNew(temporary, path, { link, rename, open });
    else await rename(temporary, path);
    await flushFolder(folder, open);
    return true;
  } finally {
    await handle?.close().catch(() => undefined);
    await rm(temporary, { force: true }).catch(() => undefined);
  }
}

/** Gives the file its name only if no one has it. */
async function putNew(
  temporary: string,
  path: string,
  { link, rename, open }: Pick<Disk, "link" | "rename" | "open">,
): Promise<void> {
  try {
    await link(temporary, path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (!/^(EPERM|ENOTSUP|EOPNOTSUPP|ENOSYS|EMLINK)$/.test(code ?? "")) throw error;
    // A disk without hard links: the name is taken with an empty file, then filled.
    await (await open(path, "wx")).close();
    await rename(temporary, path);
  }
}

/** Some systems can't flush a folder; the file is whole all the same. */
async function flushFolder(folder: string, open: Disk["open"]): Promise<void> {
  try {
    const handle = await open(folder, "r");
    await handle.sync().finally(() => handle.close());
  } catch {
    return;
  }
}
