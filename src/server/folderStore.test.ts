import {
  chmodSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import * as disk from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { sha256Of } from "./designText.ts";
import { folderStore } from "./folderStore.ts";
import { storeCases } from "./store.cases.ts";
import type { Disk } from "./writeWhole.ts";

const NAME = "valve.reed.yaml";

function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), "reedlift-store-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

storeCases("folder", async () => {
  const folder = scratch();
  return {
    store: folderStore(folder),
    put: async (name, text) => writeFileSync(join(folder, name), text),
    remove: async (name) => rmSync(join(folder, name)),
  };
});

/** A folder with one design, a store over it and the hash of the design. */
async function withDesign(options: Parameters<typeof folderStore>[1] = {}) {
  const folder = scratch();
  const path = join(folder, NAME);
  writeFileSync(path, "a: 1\n");
  const sha256 = await sha256Of("a: 1\n");
  return { folder, path, store: folderStore(folder, options), sha256 };
}

test("the label is the folder's name, without the way to it", () => {
  expect(folderStore("/home/someone/valves").label).toBe("valves");
  expect(folderStore("/home/someone/valves/").label).toBe("valves");
});

test("other files, hidden files and folders in the folder are not listed", async () => {
  const { folder, store } = await withDesign();
  writeFileSync(join(folder, "notes.txt"), "x");
  writeFileSync(join(folder, ".hidden.reed.yaml"), "x");
  mkdirSync(join(folder, "deeper"));
  writeFileSync(join(folder, "deeper", "b.reed.yaml"), "x");
  expect((await store.list()).map(({ name }) => name)).toEqual([NAME]);
});

test("files that can't be read are listed with the reason", async () => {
  const { folder, store } = await withDesign();
  rmSync(join(folder, NAME));
  writeFileSync(join(folder, "latin.reed.yaml"), Buffer.from([0x61, 0x3a, 0x20, 0xb5]));
  writeFileSync(join(folder, "long.reed.yaml"), "#".repeat(1_000_001));
  mkdirSync(join(folder, "dir.reed.yaml"));
  symlinkSync("/etc/passwd", join(folder, "out.reed.yaml"));
  symlinkSync("nowhere", join(folder, "nowhere.reed.yaml"));
  symlinkSync("circle.reed.yaml", join(folder, "circle.reed.yaml"));
  writeFileSync(join(folder, "a?.reed.yaml"), "x");
  const link = "is a link that leads to no file of this folder";
  const reasons = (await store.list()).map(({ name, sha256, reason }) => [name, sha256, reason]);
  expect(reasons).toEqual([
    ["a?.reed.yaml", null, 'its name may not hold any of < > : " | ? *'],
    ["circle.reed.yaml", null, `circle.reed.yaml ${link}`],
    ["dir.reed.yaml", null, "dir.reed.yaml is a folder, not a file"],
    ["latin.reed.yaml", null, "not UTF-8 text; save the file as UTF-8"],
    ["long.reed.yaml", null, expect.stringMatching(/^the file is too large: 1000001 bytes/)],
    ["nowhere.reed.yaml", null, `nowhere.reed.yaml ${link}`],
    ["out.reed.yaml", null, `out.reed.yaml ${link}`],
  ]);
});

test("a link out of the folder is neither read nor written, one within is followed", async () => {
  const { folder, store, sha256 } = await withDesign();
  const outside = join(scratch(), "x.reed.yaml");
  writeFileSync(outside, "secret: 1\n");
  symlinkSync(outside, join(folder, "out.reed.yaml"));
  await expect(store.read("out.reed.yaml")).rejects.toMatchObject({ code: "outside" });
  const theirs = { sha256: await sha256Of("secret: 1\n") };
  for (const expected of [theirs, "absent"] as const)
    await expect(store.write("out.reed.yaml", "x", expected)).rejects.toMatchObject({
      code: "outside",
    });
  symlinkSync("../new.reed.yaml", join(folder, "new.reed.yaml"));
  await expect(store.write("new.reed.yaml", "x", "absent")).rejects.toMatchObject({
    code: "outside",
  });
  expect(readFileSync(outside, "utf8")).toBe("secret: 1\n");

  symlinkSync(NAME, join(folder, "in.reed.yaml"));
  expect(await store.write("in.reed.yaml", "b: 1\n", { sha256 })).toMatchObject({
    kind: "written",
  });
  expect(readFileSync(join(folder, NAME), "utf8")).toBe("b: 1\n");
  expect(readlinkSync(join(folder, "in.reed.yaml"))).toBe(NAME);
});

test("a link to a folder whose name begins alike leads out", async () => {
  const above = scratch();
  mkdirSync(join(above, "valves"));
  mkdirSync(join(above, "valves-of-others"));
  writeFileSync(join(above, "valves-of-others", "a.reed.yaml"), "x");
  symlinkSync("../valves-of-others/a.reed.yaml", join(above, "valves", "a.reed.yaml"));
  await expect(folderStore(join(above, "valves")).read("a.reed.yaml")).rejects.toMatchObject({
    code: "outside",
  });
});

test("permission bits stay, and a new file has those that the user's mask leaves", async () => {
  const { folder, path, store } = await withDesign();
  let sha256 = await sha256Of("a: 1\n");
  for (const mode of [0o600, 0o640, 0o664, 0o755]) {
    chmodSync(path, mode);
    const written = await store.write(NAME, `mode: ${mode}\n`, { sha256 });
    if (written.kind !== "written") throw new Error("not written");
    sha256 = written.sha256;
    expect(statSync(path).mode & 0o7777).toBe(mode);
  }
  await store.write("new.reed.yaml", "x", "absent");
  expect(statSync(join(folder, "new.reed.yaml")).mode & 0o777).toBe(0o666 & ~process.umask());
});

test("a reader sees the old text or the new one at any time, never a piece", async () => {
  const { path, store } = await withDesign();
  const texts = ["a: 1\n", "b".repeat(400_000), "c".repeat(300_000)];
  let going = true;
  const seen = new Set<string>();
  const reading = (async () => {
    while (going) {
      seen.add(await disk.readFile(path, "utf8"));
      await new Promise(setImmediate);
    }
  })();
  for (let i = 0; i < 12; i++) {
    const sha256 = await sha256Of(texts[i % 3] as string);
    const written = await store.write(NAME, texts[(i + 1) % 3] as string, { sha256 });
    expect(written.kind).toBe("written");
  }
  going = false;
  await reading;
  for (const text of seen) expect(texts.includes(text)).toBe(true);
  expect(seen.size).toBeGreaterThan(1);
});

const failure = (code: string) => Object.assign(new Error(`${code}: /way/to/it`), { code });

/** A disk where one call fails; a handle's own calls too. */
function failing(call: "open" | "write" | "sync" | "rename" | "link", code: string): Disk {
  const fail = async () => {
    throw failure(code);
  };
  return {
    ...disk,
    ...(call === "rename" || call === "link" || call === "open" ? { [call]: fail } : {}),
    ...(call === "write" || call === "sync"
      ? {
          open: async (...words: Parameters<typeof disk.open>) => {
            const handle = await disk.open(...words);
            if (call === "sync") return Object.assign(handle, { sync: fail });
            const write = async () => {
              await handle.write("a piece");
              throw failure(code);
            };
            return Object.assign(handle, { writeFile: write });
          },
        }
      : {}),
  };
}

/** Where writing fails, how, and what the user is told. */
const FAILURES = [
  ["write", "ENOSPC", "disk-full", /no room left on the disk.*stands as it was before/],
  ["sync", "ENOSPC", "disk-full", /no room left/],
  ["open", "ENOSPC", "disk-full", /no room left/],
  ["write", "EDQUOT", "disk-full", /no room left/],
  ["open", "EACCES", "no-permission", /no permission to write valve.reed.yaml in this folder/],
  ["rename", "EPERM", "no-permission", /no permission/],
  ["open", "EROFS", "no-permission", /the disk is read-only/],
  ["open", "ENOENT", "no-folder", /the folder is not there any more/],
  ["sync", "EIO", "not-writable", /can't be written \(EIO\) and stands as it was before/],
  ["rename", "EBUSY", "not-writable", /\(EBUSY\)/],
] as const;

test.each(FAILURES)(
  "%s fails with %s: told, the file as it was, nothing left beside it",
  async (call, code, told, words) => {
    const { folder, path, store, sha256 } = await withDesign({ disk: failing(call, code) });
    const refusal = await store.write(NAME, "b: 2\n", { sha256 }).catch((error) => error);
    expect(refusal).toMatchObject({ code: told, message: expect.stringMatching(words) });
    expect(refusal.message).not.toContain("/way");
    expect(readFileSync(path, "utf8")).toBe("a: 1\n");
    expect(readdirSync(folder)).toEqual([NAME]);
  },
);

test("a new file that can't be written leaves nothing behind", async () => {
  for (const call of ["write", "sync", "link"] as const) {
    const { folder, store } = await withDesign({ disk: failing(call, "ENOSPC") });
    const refused = store.write("new.reed.yaml", "x", "absent");
    await expect(refused).rejects.toMatchObject({ code: "disk-full" });
    expect(readdirSync(folder)).toEqual([NAME]);
  }
});

test("a disk without hard links takes new files all the same, and never over another", async () => {
  const { folder, store } = await withDesign({ disk: failing("link", "EPERM") });
  expect(await store.write("new.reed.yaml", "x", "absent")).toMatchObject({ kind: "written" });
  expect(await store.write("new.reed.yaml", "y", "absent")).toMatchObject({ kind: "conflict" });
  expect(readFileSync(join(folder, "new.reed.yaml"), "utf8")).toBe("x");
  expect(readdirSync(folder).sort()).toEqual(["new.reed.yaml", NAME]);
});

test("a change by another program while the new text is being flushed is a conflict", async () => {
  let path = "";
  const late: Disk = {
    ...disk,
    open: async (...words) => {
      const handle = await disk.open(...words);
      const sync = async () => writeFileSync(path, "theirs: 1\n");
      return Object.assign(handle, { sync });
    },
  };
  const made = await withDesign({ disk: late });
  path = made.path;
  expect(await made.store.write(NAME, "mine: 1\n", { sha256: made.sha256 })).toMatchObject({
    kind: "conflict",
    current: { text: "theirs: 1\n" },
  });
  path = join(made.folder, "new.reed.yaml");
  expect(await made.store.write("new.reed.yaml", "mine: 1\n", "absent")).toMatchObject({
    kind: "conflict",
    current: { text: "theirs: 1\n" },
  });
  expect(readdirSync(made.folder).sort()).toEqual(["new.reed.yaml", NAME]);
});

test("a folder that went away is told, and watched until it is back", async () => {
  const { folder, store, sha256 } = await withDesign({ pollMs: 50 });
  const heard: unknown[] = [];
  onTestFinished(await store.watch((change) => heard.push(change)));
  renameSync(folder, `${folder}-away`);
  onTestFinished(() => rmSync(`${folder}-away`, { recursive: true, force: true }));
  await expect.poll(() => heard).toEqual([{ name: NAME, sha256: null }]);
  for (const call of [store.list(), store.read(NAME), store.write(NAME, "x", { sha256 })])
    await expect(call).rejects.toMatchObject({
      code: "no-folder",
      message: "the folder is not there any more",
    });
  renameSync(`${folder}-away`, folder);
  await expect.poll(() => heard).toContainEqual({ name: NAME, sha256 });
});

test("a change that leaves size and time as they were is told", async () => {
  const { path, store } = await withDesign({ pollMs: 50 });
  const old = new Date(Date.now() - 60_000);
  utimesSync(path, old, old);
  await store.list();
  const heard: unknown[] = [];
  onTestFinished(await store.watch((change) => heard.push(change)));
  writeFileSync(path, "a: 2\n");
  utimesSync(path, old, old);
  const sha256 = await sha256Of("a: 2\n");
  await expect.poll(() => heard).toContainEqual({ name: NAME, sha256 });
  expect((await store.list())[0]).toMatchObject({ sha256 });
});

test("a design whose file is also known elsewhere (a hard link) leaves the other one alone", async () => {
  const { folder, path, store, sha256 } = await withDesign();
  const other = join(folder, "kept.txt");
  linkSync(path, other);
  await store.write(NAME, "b: 2\n", { sha256 });
  expect(readFileSync(other, "utf8")).toBe("a: 1\n");
  expect(existsSync(path)).toBe(true);
});
