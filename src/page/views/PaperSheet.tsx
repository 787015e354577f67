import { memo, useEffect, useState } from "react";
import { flushSync } from "react-dom";
import { kindOfUnit, printQuantity } from "../../report/figureUnits.ts";
import { percentText } from "../../report/text/marginTable.ts";
import { drawForPrint } from "../compute/engine.ts";
import { get, sheetNow, textNow, usePage } from "../state.ts";
import type { Drawn, FigureId, ShownSheet } from "../worker/requests.ts";
import { commandOf } from "./command.ts";

/** Pictures on paper in the order of the job; px of paper at 96 to the inch, 182 mm wide. */
const PICTURES: readonly { id: FigureId; height: number }[] = [
  { id: "side-view", height: 300 },
  { id: "section", height: 380 },
  { id: "window", height: 400 },
  { id: "load-lines", height: 400 },
  { id: "drive-chain", height: 400 },
  { id: "lock-out", height: 320 },
];
const WIDTH = 686;
/** Metres of paper in a px of CSS: an inch is 96 of them (CSS Values and Units, 6.2). */
const METRE_PER_PX = 0.0254 / 96;

/** How long the design rests before its paper is drawn, ms. */
const REST = 400;

/** The sheet that stands on paper: the last whole one, and at printing the present one. */
function useSheet(): ShownSheet | null {
  const whole = usePage((state) =>
    state.full !== null && state.full.text === textNow(state) ? state.full.result : null,
  );
  const [sheet, setSheet] = useState<ShownSheet | null>(null);
  useEffect(() => {
    if (whole === null) return;
    const timer = setTimeout(() => setSheet(whole), REST);
    return () => clearTimeout(timer);
  }, [whole]);
  useEffect(() => {
    const now = () => flushSync(() => setSheet(sheetNow(get())));
    window.addEventListener("beforeprint", now);
    return () => window.removeEventListener("beforeprint", now);
  }, []);
  return sheet;
}

/** The pictures of the sheet, drawn one by one; those that the design has. */
function usePictures(sheet: ShownSheet | null): Drawn[] {
  const [drawn, setDrawn] = useState<Partial<Record<FigureId, Drawn | null>>>({});
  useEffect(() => {
    if (sheet === null) return;
    let over = false;
    const draw = async () => {
      for (const { id, height } of PICTURES) {
        const figure = await drawForPrint({ id, size: { width: WIDTH, height } });
        if (over) return;
        setDrawn((old) => ({ ...old, [id]: figure }));
      }
    };
    void draw();
    return () => {
      over = true;
    };
  }, [sheet]);
  return PICTURES.flatMap(({ id }) => drawn[id] ?? []);
}

/** What a printer gets in place of the page: the whole sheet, light, one column. */
export function PaperSheet() {
  const sheet = useSheet();
  const drawn = usePictures(sheet);
  const name = usePage((state) => state.answer?.facts.name ?? "");
  const file = usePage((state) => state.draft?.name ?? "not saved");
  const version = usePage((state) => state.folder?.version ?? "");
  const hash = usePage((state) => state.diskHash);
  if (sheet === null) return null;
  return (
    <article className="paper" aria-hidden="true">
      <h1>{name}</h1>
      <p>{sheet.verdict.text}</p>
      {drawn.slice(0, 1).map((figure) => (
        <Picture key={figure.name} figure={figure} />
      ))}
      <table>
        <caption>Margins, tightest first</caption>
        <thead>
          <tr>
            <th>requirement</th>
            <th>value</th>
            <th>limit</th>
            <th>left</th>
          </tr>
        </thead>
        <tbody>
          {sheet.margins.map((row) => {
            const kind = kindOfUnit(row.unit, `${row.id} ${row.requirement}`);
            const print = (x: number, u?: number) => printQuantity(x, u, kind, row.unit, {});
            return (
              <tr key={row.id} className={row.met ? "" : "unmet"}>
                <td>
                  {row.met ? "" : "× "}
                  {row.requirement}
                </td>
                <td>{row.value === null ? "not known" : print(row.value, row.u_value)}</td>
                <td>
                  {row.sense === "at least" ? "≥" : "≤"} {print(row.limit)}
                </td>
                <td>{percentText(row.margin)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {drawn.slice(1).map((figure) => (
        <Picture key={figure.name} figure={figure} />
      ))}
      {sheet.cautions.length > 0 && (
        <>
          <h2>Cautions</h2>
          <ul>
            {sheet.cautions.map((caution) => (
              <li key={caution.id}>
                {caution.text} <b>{caution.action}</b>
              </li>
            ))}
          </ul>
        </>
      )}
      <p className="origin">
        reedlift {version}, {file}
        {hash === null ? "" : `, sha256 ${hash.slice(0, 12)}`}; the same on the command line:{" "}
        {commandOf()}
      </p>
    </article>
  );
}

const Picture = memo(function Picture({ figure }: { figure: Drawn }) {
  const axis = figure.name === "side-view" ? figure.plot?.x : undefined;
  const scale =
    axis === undefined
      ? null
      : ((axis.range[1] - axis.range[0]) / (axis.to - axis.from)) * METRE_PER_PX;
  return (
    <figure>
      <h2>{figure.title}</h2>
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: drawn by this program, texts escaped */}
      <div dangerouslySetInnerHTML={{ __html: withOwnIds(figure.svg) }} />
      <figcaption>
        {figure.sentence}
        {scale === null
          ? ""
          : ` Along the strip ${scale.toFixed(3)} : 1 on paper when printed at 100 %.`}
      </figcaption>
    </figure>
  );
});

/** Names inside the drawing that the same picture on the page does not have. */
const withOwnIds = (svg: string): string =>
  svg
    .replace(/( id="| aria-labelledby="|url\(#)/g, "$1paper-")
    .replace(/(paper-\S+) (\S+-sentence")/g, "$1 paper-$2");
