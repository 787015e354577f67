import { StoreRefusal } from "./store.ts";

const codeOf = (error: unknown): string => String((error as NodeJS.ErrnoException)?.code ?? "");

/** Whether a call failed because there is no such file. */
export const isAbsent = (error: unknown): boolean => /^(ENOENT|ENOTDIR)$/.test(codeOf(error));

const NO_RIGHT = /^(EACCES|EPERM|EROFS)$/;

/** A failed call of the file system in words; `name` is the file's, the way to it is not told. */
export function readRefusal(error: unknown, name: string): StoreRefusal {
  if (error instanceof StoreRefusal) return error;
  const code = codeOf(error);
  if (isAbsent(error))
    return new StoreRefusal("no-such-design", `there is no ${name} in this folder`);
  if (NO_RIGHT.test(code))
    return new StoreRefusal("no-permission", `no permission to read ${name}`);
  if (code === "ELOOP") return linkRefusal(name);
  const message = `${name} can't be read (${code || "no reason known"})`;
  return new StoreRefusal("not-readable", message);
}

/** The same for a failed writing, which left the file as it was. */
export function writeRefusal(error: unknown, name: string): StoreRefusal {
  if (error instanceof StoreRefusal) return error;
  const code = codeOf(error);
  if (code === "ENOSPC" || code === "EDQUOT")
    return new StoreRefusal(
      "disk-full",
      `there is no room left on the disk: ${name} stands as it was before; make room and save again`,
    );
  if (code === "EROFS")
    return new StoreRefusal(
      "no-permission",
      `the disk is read-only: ${name} can't be written here; save it in another folder`,
    );
  if (NO_RIGHT.test(code))
    return new StoreRefusal(
      "no-permission",
      `no permission to write ${name} in this folder: change the rights of the folder, or save elsewhere`,
    );
  if (isAbsent(error)) return new StoreRefusal("no-folder", "the folder is not there any more");
  if (code === "ENAMETOOLONG")
    return new StoreRefusal("name", `the name ${name} is too long for this disk`);
  return new StoreRefusal(
    "not-writable",
    `${name} can't be written (${code || "no reason known"}) and stands as it was before`,
  );
}

/** For a link that leads out of the folder, in a circle or nowhere. */
export const linkRefusal = (name: string): StoreRefusal =>
  new StoreRefusal("outside", `${name} is a link that leads to no file of this folder`);
