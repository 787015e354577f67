import { useEffect, useState } from "react";
import type { TraceMark } from "../../../bench/reduction.ts";
import { fileNow, traceFile, traceNumbers, tracePart, useBench } from "../../compute/bench.ts";
import type { TracePart } from "../../worker/benchTrace.ts";
import { FigureTools } from "../FigureTools.tsx";
import { benchCommand } from "./command.ts";
import { TraceCanvas } from "./TraceCanvas.tsx";
import { closer, type Span } from "./traceView.ts";
import { placeWords } from "./traceWords.ts";

const NO_MARKS: readonly TraceMark[] = [];
const ZOOM = 0.6;

/** Every channel of the file over time, however long it is, with the levels and instants that were found. */
export function TraceView() {
  const file = useBench(fileNow);
  const id = file?.id ?? null;
  const ready = file?.answer?.outcome === "data" && file.progress === null;
  const answer = ready ? file?.answer : null;
  const [whole, setWhole] = useState<TracePart | null>(null);
  useEffect(() => {
    setWhole(null);
    if (id === null || answer == null) return;
    let over = false;
    void tracePart(id, null, 800).then((part) => {
      if (!over) setWhole(part);
    });
    return () => {
      over = true;
    };
  }, [id, answer]);
  if (file === null || !ready)
    return (
      <p className="empty">
        {file?.progress != null
          ? "The file is being read."
          : "There is no trace yet: open a file, and settle at File what it leaves open."}
      </p>
    );
  if (whole === null) return <p className="empty">The trace is being laid out.</p>;
  return <Whole key={file.id} id={file.id} name={file.file.name} whole={whole} />;
}

function Whole({ id, name, whole }: { id: number; name: string; whole: TracePart }) {
  const { axis } = whole;
  const all: Span = [axis.from, axis.to];
  const [view, setView] = useState<Span>(all);
  const [fit, setFit] = useState(false);
  const [part, setPart] = useState(whole);
  const marks = useBench((state) =>
    state.reduced?.ok === true ? (state.reduced.marks[id] ?? NO_MARKS) : NO_MARKS,
  );
  const zoomed = view[0] > all[0] || view[1] < all[1];
  const middle = (view[0] + view[1]) / 2;
  const say = (x: number) => placeWords(axis, x);
  const many = part.samples > 2 * part.width;
  const count = (n: number) => n.toLocaleString("en").replaceAll(",", "\u202f");
  const sentence = `${whole.channels.map(({ role }) => role).join(", ")} of ${name} from ${say(view[0])} to ${say(view[1])}: ${count(part.samples)} of ${count(part.rows)} samples${many ? ", of each pixel column the smallest to the largest" : ""}.`;
  return (
    <figure className="figure bench-trace" data-figure="bench-trace">
      <div className="figure-head">
        <div className="figure-tools time-tools">
          <button type="button" onClick={() => setView(closer(view, middle, ZOOM, axis))}>
            Closer
          </button>
          <button
            type="button"
            disabled={!zoomed}
            onClick={() => setView(closer(view, middle, 1 / ZOOM, axis))}
          >
            Wider
          </button>
          <button type="button" aria-pressed={fit} onClick={() => setFit(!fit)}>
            {fit ? "Heights of all" : "Heights of what is seen"}
          </button>
        </div>
        <FigureTools
          of={{
            name: "measured",
            title: `Trace: ${name}`,
            sentence,
            csv: () => traceNumbers(id, view),
          }}
          paper={() => traceFile(id, view)}
          whole={zoomed ? () => setView(all) : null}
          command={benchCommand("--svg pictures")}
        />
      </div>
      <div className="figure-draw">
        <TraceCanvas
          whole={whole}
          marks={marks}
          fit={fit}
          view={view}
          onView={setView}
          ask={(wanted, width) => tracePart(id, wanted, width)}
          onPart={setPart}
          label={`Trace of ${name}`}
        />
      </div>
      <figcaption>{sentence}</figcaption>
    </figure>
  );
}
