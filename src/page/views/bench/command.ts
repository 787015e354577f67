import { settingsNow, useBench } from "../../compute/bench.ts";
import { get } from "../../state.ts";

/** A word as a shell takes it. */
const quoted = (word: string) =>
  /^[\w.,:=+/-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;

/** The command line that gives the values on the page. */
export function benchCommand(more = ""): string {
  const state = useBench.getState();
  const { kind, files } = state;
  if (kind === null) return "reedlift reduce --help";
  const design = get().draft?.name ?? null;
  const parts = [
    "reedlift reduce",
    kind,
    ...files.map(({ file }) => quoted(file.name)),
    ...settingsNow(state).map(({ key, text }) => `--set ${quoted(`${key}=${text}`)}`),
    ...(design === null ? [] : [`--design ${quoted(design)}`]),
    ...(more === "" ? [] : [more]),
  ];
  return parts.join(" ");
}
