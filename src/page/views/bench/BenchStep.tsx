import { useEffect } from "react";
import { startBench, useBench } from "../../compute/bench.ts";
import { set, usePage } from "../../state.ts";
import { stepOf } from "../../steps.ts";
import { BenchCommand } from "./BenchCommand.tsx";
import { BenchInputs } from "./BenchInputs.tsx";
import { CalibrateView } from "./CalibrateView.tsx";
import { FileView } from "./FileView.tsx";
import { SymptomsView } from "./SymptomsView.tsx";
import { TraceView } from "./TraceView.tsx";
import { ValuesView } from "./ValuesView.tsx";

const STEP = stepOf("bench");

/** The bench: from files of instruments to values, beside what the design says of them. */
export function BenchStep() {
  useEffect(() => {
    void startBench();
    const root = document.documentElement;
    root.dataset.bench = "";
    return () => {
      delete root.dataset.bench;
    };
  }, []);
  const chosen = usePage((state) => state.picture.bench) ?? "bench-file";
  const kinds = useBench((state) => state.kinds);
  return (
    <>
      <BenchInputs />
      <section className="picture bench-picture" aria-label="Picture: Bench">
        <fieldset className="choice">
          <legend className="spoken">Picture</legend>
          {STEP.pictures.map(({ id, name }) => (
            <label key={id}>
              <input
                type="radio"
                name="picture"
                checked={id === chosen}
                onChange={() => set((state) => ({ picture: { ...state.picture, bench: id } }))}
              />
              <span>{name}</span>
            </label>
          ))}
        </fieldset>
        {kinds === null ? (
          <p className="empty">The measurements are being fetched.</p>
        ) : (
          <>
            {chosen === "bench-file" && <FileView />}
            {chosen === "bench-trace" && <TraceView />}
            {chosen === "bench-values" && <ValuesView />}
            {chosen === "bench-calibrate" && <CalibrateView />}
            {chosen === "bench-symptoms" && <SymptomsView />}
          </>
        )}
        <BenchCommand />
      </section>
    </>
  );
}
