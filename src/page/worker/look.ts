import type { Design } from "../../design/design.ts";
import { BUILT_IN_MATERIALS } from "../../design/materialOf.ts";
import { type ReadResult, readDesign } from "../../design/readDesign.ts";
import { tipOf } from "../../design/values.ts";
import { driveChain } from "../../report/figures/driveChain.ts";
import type { Figure, FigureOptions } from "../../report/figures/figure.ts";
import { loadLines } from "../../report/figures/loadLines.ts";
import { lockoutBand } from "../../report/figures/lockoutBand.ts";
import { sectionView } from "../../report/figures/sectionView.ts";
import { sideView } from "../../report/figures/sideView.ts";
import { windowChart } from "../../report/figures/windowChart.ts";
import { figureGroups, figureText } from "../../report/text/groups.ts";
import { textStyle } from "../../report/text/style.ts";
import { verdictOf } from "../../sheet/check.ts";
import { evaluate } from "../../sheet/evaluate.ts";
import { tightestFirst } from "../../sheet/marginRow.ts";
import type { SheetResult } from "../../sheet/result.ts";
import { fullCheck } from "../../studies/fullCheck.ts";
import { lengthWindow } from "../../studies/window.ts";
import { forPage } from "./forPage.ts";
import type {
  DesignFacts,
  Drawn,
  FigureGroup,
  FigureId,
  FigureRequest,
  FullAnswer,
  LookAnswer,
  LookRequest,
  ShownSheet,
  WindowAnswer,
} from "./requests.ts";

/** The last design read: a page asks for the same text several times in a row. */
let last: Held | null = null;

interface Held {
  text: string;
  name: string;
  read: ReadResult;
  result: SheetResult | null;
  /** Whether `result` has the curves of the seat. */
  curves: boolean;
}

function readAgain(text: string, name: string): Held {
  if (last?.text !== text || last.name !== name)
    last = { text, name, read: readDesign(text, { name }), result: null, curves: false };
  return last;
}

/** The sheet without uncertainties, the pictures asked for, the figures in words. */
export function look(request: LookRequest): LookAnswer {
  const held = readAgain(request.text, request.name);
  const { read } = held;
  if (!read.ok) return read;
  const result = sheetOf(held, read.design, request);
  const figures: Partial<Record<FigureId, Drawn>> = {};
  for (const wanted of request.figures) {
    const figure = drawn(read.design, result, wanted, request);
    if (figure !== null) figures[wanted.id] = forPage(figure);
  }
  return {
    ok: true,
    facts: factsOf(read.design),
    sheet: shownOf(result),
    states: result.strip.states.map(({ name, kind, what }) => ({ name, kind, what })),
    warnings: read.warnings,
    figures,
    groups: groupsOf(read.design, result, request.groups),
  };
}

/** The numbers of a picture that is on the page, as CSV; null where the design has no such picture. */
export function tableOf(request: LookRequest, id: FigureId): string | null {
  const held = readAgain(request.text, request.name);
  const wanted = request.figures.find((figure) => figure.id === id);
  if (!held.read.ok || wanted === undefined) return null;
  const result = sheetOf(held, held.read.design, request);
  return drawn(held.read.design, result, wanted, request)?.csv ?? null;
}

function sheetOf(held: Held, design: Design, { figures, full, window }: LookRequest): SheetResult {
  if (full !== null) return full;
  // Curves of the seat take as long as all the rest: they are computed for their picture only.
  const curves = figures.some(({ id }) => id === "load-lines");
  if (held.result === null || (curves && !held.curves)) {
    held.result = plainSheet(design, curves);
    held.curves = curves;
  }
  return { ...held.result, ...(window === null ? {} : { window }) };
}

const shownOf = ({ verdict, margins, cautions, wiring, ways_out }: SheetResult): ShownSheet => ({
  verdict,
  margins,
  cautions,
  wiring,
  ways_out,
});

function plainSheet(design: Design, curves: boolean): SheetResult {
  const result = evaluate(design, { detail: curves });
  result.margins = tightestFirst(result.margins);
  result.verdict = verdictOf(result);
  return result;
}

function drawn(
  design: Design,
  result: SheetResult,
  { id, size, view }: FigureRequest,
  { shape, state }: LookRequest,
): Figure | null {
  const options: FigureOptions = { size, bare: true, ...(view === undefined ? {} : { view }) };
  switch (id) {
    case "side-view":
      return sideView(design, result, { ...options, state: shape });
    case "section":
      return sectionView(design, result, {
        ...options,
        ...(state === null ? {} : { states: [state] }),
      });
    case "window":
      return windowChart(design, result, options);
    case "load-lines":
      return loadLines(design, result, options);
    case "lock-out":
      return lockoutBand(design, result, options);
    case "drive-chain":
      return driveChain(design, result, { ...options, ...(state === null ? {} : { state }) });
  }
}

/** The picture as a file for paper: its own size, title and origin. */
export function onPaper(request: LookRequest, id: FigureId, origin: string): Figure | null {
  const { read } = readAgain(request.text, request.name);
  if (!read.ok) return null;
  const { design } = read;
  const sheet = request.full ?? { ...plainSheet(design, true), window: request.window };
  const { shape, state } = request;
  switch (id) {
    case "side-view":
      return sideView(design, sheet, { origin, state: shape });
    case "section":
      return sectionView(design, sheet, { origin, ...(state === null ? {} : { states: [state] }) });
    case "window":
      return windowChart(design, sheet, { origin });
    case "load-lines":
      return loadLines(design, sheet, { origin });
    case "lock-out":
      return lockoutBand(design, sheet, { origin });
    case "drive-chain":
      return driveChain(design, sheet, { origin, ...(state === null ? {} : { state }) });
  }
}

const BUILT_IN = Object.entries(BUILT_IN_MATERIALS).map(([name, material]) => ({
  name,
  kind: material?.kind ?? "",
}));

function factsOf(design: Design): DesignFacts {
  const own = Object.entries(design.materials).map(([name, { kind }]) => ({ name, kind }));
  const named = (kinds: readonly string[]) => [
    ...new Set([...BUILT_IN, ...own].filter(({ kind }) => kinds.includes(kind)).map((m) => m.name)),
  ];
  return {
    name: design.name,
    freeLength_m: design.strip.freeLength,
    tip_m: tipOf(design),
    clampLength_m: design.clamp.length,
    hasSeat: design.seat !== undefined,
    hasGas: design.gas !== undefined,
    electrodes: design.electrodes,
    rails: Object.keys(design.rails),
    layerMaterials: named(["ceramic", "metal", "fibre", "glue", "insulator"]),
    padMaterials: named(["elastomer"]),
  };
}

function groupsOf(design: Design, result: SheetResult, ids: readonly string[]): FigureGroup[] {
  const style = textStyle({});
  const wanted = figureGroups(design, result, style).filter(({ id }) => ids.includes(id));
  return wanted.map(({ id, title, entries }) => ({
    id,
    title,
    rows: entries.map(({ label, path, text }) => ({
      label,
      text: path === undefined ? (text ?? "") : figureText(result, path, style),
    })),
  }));
}

/** The whole sheet, as `reedlift check` gives it. */
export function full(text: string, name: string): FullAnswer {
  const { read } = readAgain(text, name);
  return read.ok ? { ok: true, result: fullCheck(read.design).result } : read;
}

/** The free-length window; null where the text is no design. */
export function windowOf(text: string, name: string): WindowAnswer {
  const { read } = readAgain(text, name);
  return read.ok ? { window: lengthWindow(read.design) } : null;
}
