import { download } from "../actions.ts";
import { get, tell, textNow } from "../state.ts";
import { bench } from "./benchLine.ts";
import { bareName } from "./engine.ts";

/** The bench sheet of the design on the page, to print or as a file. */

async function sheet(): Promise<string | null> {
  const { draft, folder } = get();
  const text = textNow(get());
  if (text === null) return null;
  const file = draft?.name ?? "DESIGN.reed.yaml";
  const made = (await bench().benchSheet(
    text,
    bareName(draft?.name ?? null),
    file,
    folder?.version ?? "",
  )) as string | { reason: string };
  if (typeof made === "string") return made;
  tell("trouble", `There is no bench sheet: ${made.reason}.`);
  return null;
}

export async function sheetAsFile(): Promise<void> {
  const html = await sheet();
  if (html !== null)
    download(`${bareName(get().draft?.name ?? null)}-bench.html`, html, "text/html");
}

/**
 * Prints the sheet in place of the page. It stands in a tree of its own with its own styles, which the policy of the
 * page lets in as an object only, not as text in the document.
 */
export async function printSheet(): Promise<void> {
  const html = await sheet();
  if (html === null) return;
  const style = /<style>([\s\S]*?)<\/style>/;
  const read = new DOMParser().parseFromString(html.replace(style, ""), "text/html");
  const styles = new CSSStyleSheet();
  const text = style.exec(html)?.[1] ?? "";
  styles.replaceSync(text.replace(/(^|[{};\s])body(?=\s*\{)/g, "$1:host"));
  const host = document.createElement("div");
  host.className = "bench-paper";
  const root = host.attachShadow({ mode: "open" });
  root.adoptedStyleSheets = [styles];
  root.append(...read.body.childNodes);
  document.querySelector(".bench-paper")?.remove();
  document.body.append(host);
  const { dataset } = document.documentElement;
  dataset.sheet = "";
  addEventListener(
    "afterprint",
    () => {
      delete dataset.sheet;
      host.remove();
    },
    { once: true },
  );
  window.print();
}
