import { useEffect, useRef, useState } from "react";
import {
  complete,
  fitFigure,
  fitPaper,
  kindNow,
  reducedCsv,
  useBench,
} from "../../compute/bench.ts";
import { collect } from "../../compute/benchCalibrate.ts";
import { set } from "../../state.ts";
import type { FitLook, ReducedGiven, TableLook, ValueLine } from "../../worker/benchRequests.ts";
import type { Drawn } from "../../worker/requests.ts";
import { FigureTools } from "../FigureTools.tsx";
import { Svg } from "../Svg.tsx";
import { useSize } from "../useSize.ts";
import { Beside } from "./Beside.tsx";
import { benchCommand } from "./command.ts";
import { Refusals } from "./Refusals.tsx";
import { Wide } from "./Wide.tsx";

/** What the measurement gives: values with uncertainty, beside the design, fits with residuals, warnings. */
export function ValuesView() {
  const place = useRef<HTMLDivElement>(null);
  const size = useSize(place);
  const width = size === null ? 0 : Math.min(900, size.width - 32);
  const reduced = useBench((state) => state.reduced);
  const reducing = useBench((state) => state.reducing);
  return (
    <div
      className="bench-view bench-values"
      data-figure="bench-values"
      ref={place}
      aria-busy={reducing}
    >
      {reduced === null ? (
        <Missing reducing={reducing} />
      ) : reduced.ok ? (
        <Given given={reduced} width={width} />
      ) : (
        <Refusals title="No values" refusals={reduced.refusals} />
      )}
    </div>
  );
}

function Missing({ reducing }: { reducing: boolean }) {
  const kind = useBench(kindNow);
  const whole = useBench(complete);
  const files = useBench((state) => state.files.length);
  if (reducing || whole) return <p className="empty">The values are being computed.</p>;
  return (
    <div className="empty">
      <p>
        {kind === null
          ? "Choose at the left what was measured."
          : files < kind.files.min
            ? "Open the files of the measurement at the left."
            : "A file is not read yet, or leaves a question open."}
      </p>
      {files > 0 && (
        <button
          type="button"
          className="strong"
          onClick={() => set((state) => ({ picture: { ...state.picture, bench: "bench-file" } }))}
        >
          Look at the file
        </button>
      )}
    </div>
  );
}

function Given({ given, width }: { given: ReducedGiven; width: number }) {
  return (
    <>
      <div className="figure-head">
        <p className="ways-verdict">{given.verdict}</p>
        <FigureTools
          of={{
            name: given.kind,
            title: `Values: ${given.kind}`,
            sentence: given.verdict,
            csv: reducedCsv,
          }}
          whole={null}
          command={benchCommand()}
        />
      </div>
      <p>
        <button type="button" onClick={() => void collect()}>
          Keep these values for a calibration
        </button>
      </p>
      {given.warnings.length > 0 && (
        <ul className="cautions">
          {given.warnings.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
      <Values values={given.values} />
      {given.beside.length > 0 && <Beside lines={given.beside} />}
      {given.fits.map((fit, i) => (
        <FitPart key={fit.title} fit={fit} index={i} width={width} />
      ))}
      {given.tables.map((each) => (
        <Table key={each.title} table={each} />
      ))}
    </>
  );
}

function Values({ values }: { values: readonly ValueLine[] }) {
  const found = values.filter(({ text }) => text !== null);
  const none = values.filter(({ text, reason }) => text === null || reason !== null);
  return (
    <>
      <Wide label="Values">
        <table className="plain-table bench-value-table">
          <caption className="spoken">Values with their standard uncertainty and budget</caption>
          <thead>
            <tr>
              <th scope="col">value</th>
              <th scope="col">value(u)</th>
              <th scope="col">95 % between</th>
              <th scope="col" title="degrees of freedom">
                <span aria-hidden="true">ν</span>
                <span className="spoken">degrees of freedom</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {found.map((value) => (
              <ValueRow key={value.key} value={value} />
            ))}
          </tbody>
        </table>
      </Wide>
      {none.length > 0 && (
        <ul className="bench-notes">
          {none.map(({ key, name, text, reason }) => (
            <li key={key}>
              {name}: {text === null ? "none" : "no uncertainty"}, {reason ?? "no reason is known"}.
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

/** A value; its budget opens below it. */
function ValueRow({ value }: { value: ValueLine }) {
  const [open, setOpen] = useState(false);
  const { key, name, text, interval, freedom, budget } = value;
  return (
    <>
      <tr data-value={key}>
        <th scope="row">
          {budget.length === 0 ? (
            name
          ) : (
            <button
              type="button"
              className="bench-name"
              title="budget of its uncertainty"
              aria-expanded={open}
              onClick={() => setOpen(!open)}
            >
              {name}
            </button>
          )}
        </th>
        <td className="bench-number">{text}</td>
        <td>{interval ?? "–"}</td>
        <td>{freedom}</td>
      </tr>
      {open && (
        <tr className="bench-budget">
          <td colSpan={4}>
            <ul aria-label={`Budget of ${name}, largest part first`}>
              {budget.map(({ source, text: u, share }) => (
                <li key={source}>
                  <span>{source}</span>
                  <svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
                    <rect width="100" height="8" className="budget-ground" />
                    <rect width={Math.max(0.5, 100 * share)} height="8" className="budget-bar" />
                  </svg>
                  <span>{u}</span>
                  <span>{(100 * share).toFixed(share < 0.0995 ? 1 : 0)} %</span>
                </li>
              ))}
            </ul>
          </td>
        </tr>
      )}
    </>
  );
}

function FitPart({ fit, index, width }: { fit: FitLook; index: number; width: number }) {
  const { title, converged, ended, quality, parameters, correlations, drawn } = fit;
  const [figure, setFigure] = useState<Drawn | null>(null);
  useEffect(() => {
    if (width === 0 || !drawn) return;
    // Another answer has another fit.
    void fit;
    let over = false;
    const height = Math.round(Math.min(440, Math.max(320, width * 0.56)));
    void fitFigure(index, { width, height }).then((found) => {
      if (!over) setFigure(found);
    });
    return () => {
      over = true;
    };
  }, [fit, index, width, drawn]);
  return (
    <section className="bench-fit" aria-label={`Fit: ${title}`}>
      <div className="figure-head">
        <h3>Fit: {title}</h3>
        {figure !== null && (
          <FigureTools
            of={{ ...figure, csv: async () => (await fitPaper(index))?.csv ?? null }}
            paper={() => fitPaper(index)}
            whole={null}
            command={benchCommand("--svg pictures")}
          />
        )}
      </div>
      <p className={converged ? "quiet-text" : "wrong-words"}>{ended}</p>
      {figure !== null && (
        <figure className="bench-fit-figure">
          <Svg text={figure.svg} label={figure.title} />
          <figcaption>{figure.sentence}</figcaption>
        </figure>
      )}
      <p className="quiet-text">{quality}</p>
      <Wide label="Parameters of the fit">
        <table className="plain-table">
          <caption className="spoken">Parameters of the fit</caption>
          <thead>
            <tr>
              <th scope="col">parameter</th>
              <th scope="col">value(u)</th>
              <th scope="col">start</th>
              <th scope="col">state</th>
            </tr>
          </thead>
          <tbody>
            {parameters.map((each) => (
              <tr key={each.name}>
                <th scope="row">{each.name}</th>
                <td>{each.text}</td>
                <td>{each.start}</td>
                <td>{each.state}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {correlations !== null && <p className="quiet-text">{correlations}</p>}
    </section>
  );
}

/** Rows shown at most; the CSV has them all. */
const ROWS = 40;

function Table({ table: { title, columns, rows } }: { table: TableLook }) {
  return (
    <section className="bench-table">
      <h3>{title}</h3>
      <Wide label={title}>
        <table className="plain-table">
          <caption className="spoken">{title}</caption>
          <thead>
            <tr>
              {columns.map((name) => (
                <th scope="col" key={name}>
                  {name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.slice(0, ROWS).map((row, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: rows have no name but their place
              <tr key={i}>
                {row.map((cell, c) => (
                  <td key={columns[c]}>{cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {rows.length > ROWS && (
        <p className="quiet-text">{rows.length - ROWS} more rows are in the file of the values.</p>
      )}
    </section>
  );
}
