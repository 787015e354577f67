import { createHash } from "node:crypto";
import { expect, onTestFinished, test } from "vitest";
import { DESIGN_SIZE_MAX_BYTES } from "../design/document.ts";
import type { DesignStore, StoreChange } from "./store.ts";

/** A store, and another program's way to its files. */
export interface StoreUnderTest {
  store: DesignStore;
  put(name: string, text: string): Promise<void>;
  remove(name: string): Promise<void>;
}

const hash = (text: string) => createHash("sha256").update(text, "utf8").digest("hex");
const VALVE = "valve.reed.yaml";

/** What every store must do; `make` gives an empty one. */
export function storeCases(label: string, make: () => Promise<StoreUnderTest>): void {
  const it = (title: string, run: (made: StoreUnderTest) => Promise<void>) =>
    test(`${label}: ${title}`, async () => run(await make()));

  it("lists designs by name with size, hash and title", async ({ store, put }) => {
    expect(await store.list()).toEqual([]);
    await put("b.reed.yml", "reedlift: 1\n");
    await put("a.reed.yaml", "reedlift: 1\nname: Ventil für Ar  # µ\n");
    await put("c.reed.json", '{"reedlift": 1, "name": "C"}');
    const list = await store.list();
    expect(list.map(({ modified, ...rest }) => rest)).toEqual([
      {
        name: "a.reed.yaml",
        bytes: 39,
        sha256: hash("reedlift: 1\nname: Ventil für Ar  # µ\n"),
        title: "Ventil für Ar",
      },
      { name: "b.reed.yml", bytes: 12, sha256: hash("reedlift: 1\n") },
      {
        name: "c.reed.json",
        bytes: 28,
        sha256: hash('{"reedlift": 1, "name": "C"}'),
        title: "C",
      },
    ]);
    for (const { modified } of list)
      expect(Math.abs(Date.parse(modified) - Date.now())).toBeLessThan(60_000);
  });

  it("lists a design that is half written, without a title", async ({ store, put }) => {
    await put(VALVE, "name: [");
    expect(await store.list()).toMatchObject([{ name: VALVE, sha256: hash("name: [") }]);
    expect((await store.list())[0]).not.toHaveProperty("title");
  });

  for (const text of [
    "",
    "reedlift: 1\n",
    "no newline at the end",
    "\ufeffwith a mark: 1\r\nand two: line ends\r",
    "0.20 ± 0.01 mm  # µ, 你好, 🜁\n",
    " \t\u00a0\u2028",
    "not: [a design",
  ])
    it(`gives back the exact text: ${JSON.stringify(text)}`, async ({ store, put }) => {
      expect(await store.write(VALVE, text, "absent")).toEqual({
        kind: "written",
        sha256: hash(text),
        created: true,
      });
      const design = { name: VALVE, text, sha256: hash(text) };
      expect(await store.read(VALVE)).toEqual(design);
      await put("other.reed.yaml", text);
      expect((await store.read("other.reed.yaml")).text).toBe(text);
    });

  it("writes over the text that is expected", async ({ store, put }) => {
    await put(VALVE, "a: 1\n");
    const written = await store.write(VALVE, "a: 2\n", { sha256: hash("a: 1\n") });
    expect(written).toEqual({ kind: "written", sha256: hash("a: 2\n"), created: false });
    expect((await store.read(VALVE)).text).toBe("a: 2\n");
  });

  it("leaves another text than the expected one alone, and tells it", async ({ store, put }) => {
    await put(VALVE, "theirs: 1\n");
    const current = { name: VALVE, text: "theirs: 1\n", sha256: hash("theirs: 1\n") };
    for (const expected of [{ sha256: hash("mine") }, "absent"] as const)
      expect(await store.write(VALVE, "mine", expected)).toEqual({ kind: "conflict", current });
    expect(await store.read(VALVE)).toEqual(current);
  });

  it("does not bring back a file that is gone", async ({ store, put, remove }) => {
    await put(VALVE, "a: 1\n");
    await remove(VALVE);
    expect(await store.write(VALVE, "a: 2\n", { sha256: hash("a: 1\n") })).toEqual({
      kind: "conflict",
      current: null,
    });
    expect(await store.list()).toEqual([]);
  });

  it("lets one of several writers win, whole", async ({ store, put }) => {
    await put(VALVE, "start\n");
    const texts = Array.from({ length: 20 }, (_, i) => `${i}`.repeat(5000));
    const all = await Promise.all(
      texts.map((text) => store.write(VALVE, text, { sha256: hash("start\n") })),
    );
    const won = all.flatMap((one, i) => (one.kind === "written" ? [texts[i]] : []));
    expect(won).toHaveLength(1);
    expect((await store.read(VALVE)).text).toBe(won[0]);
  });

  it("lets one of several makers of a new file win", async ({ store }) => {
    const all = await Promise.all(
      ["a", "b", "c", "d"].map((text) => store.write(VALVE, text, "absent")),
    );
    expect(all.filter(({ kind }) => kind === "written")).toHaveLength(1);
  });

  it("refuses a text of more than 1 MB and takes one of 1 MB", async ({ store }) => {
    const most = "µ".repeat(DESIGN_SIZE_MAX_BYTES / 2);
    await expect(store.write(VALVE, `${most}#`, "absent")).rejects.toMatchObject({
      code: "too-large",
      message: expect.stringContaining("1000001 bytes"),
    });
    expect(await store.list()).toEqual([]);
    expect(await store.write(VALVE, most, "absent")).toMatchObject({ kind: "written" });
  });

  it("refuses to read what is not there", async ({ store }) => {
    await expect(store.read(VALVE)).rejects.toMatchObject({
      code: "no-such-design",
      message: `there is no ${VALVE} in this folder`,
    });
  });

  it("refuses names that are none, to read and to write", async ({ store }) => {
    for (const name of ["../a.reed.yaml", ".a.reed.yaml", "a.yaml", "", "nul.reed.yaml"]) {
      await expect(store.read(name)).rejects.toMatchObject({ code: "name" });
      await expect(store.write(name, "x", "absent")).rejects.toMatchObject({ code: "name" });
    }
  });

  it("a refused writing does not keep the next from its turn", async ({ store }) => {
    const refused = store.write("a.yaml", "x", "absent").catch(({ code }) => code);
    const taken = store.write(VALVE, "x", "absent");
    expect(await refused).toBe("name");
    expect(await taken).toMatchObject({ kind: "written" });
  });

  it("tells each change: made, changed, gone, and what it wrote itself", async (made) => {
    const { store, put, remove } = made;
    await put("old.reed.yaml", "old: 1\n");
    const heard: StoreChange[] = [];
    const unwatch = await store.watch((change) => heard.push(change));
    onTestFinished(unwatch);
    const next = async (change: StoreChange) => {
      await expect.poll(() => heard, { timeout: 10_000 }).toContainEqual(change);
      heard.length = 0;
    };
    await put("old.reed.yaml", "old: 2\n");
    await next({ name: "old.reed.yaml", sha256: hash("old: 2\n") });
    await put("new.reed.yaml", "new: 1\n");
    await next({ name: "new.reed.yaml", sha256: hash("new: 1\n") });
    await store.write("new.reed.yaml", "new: 2\n", { sha256: hash("new: 1\n") });
    await next({ name: "new.reed.yaml", sha256: hash("new: 2\n") });
    await remove("old.reed.yaml");
    await next({ name: "old.reed.yaml", sha256: null });
  });

  it("tells every watcher, and none that left", async ({ store, put }) => {
    const heard: string[] = [];
    const first = await store.watch(({ name }) => heard.push(`1 ${name}`));
    onTestFinished(await store.watch(({ name }) => heard.push(`2 ${name}`)));
    await put("a.reed.yaml", "1");
    await expect.poll(() => [...heard].sort()).toEqual(["1 a.reed.yaml", "2 a.reed.yaml"]);
    first();
    await put("b.reed.yaml", "1");
    await expect.poll(() => heard).toContain("2 b.reed.yaml");
    expect(heard).not.toContain("1 b.reed.yaml");
  });
}
