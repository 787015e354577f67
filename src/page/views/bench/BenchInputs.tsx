import { chooseKind, kindNow, useBench } from "../../compute/bench.ts";
import { printSheet, sheetAsFile } from "../../compute/benchSheet.ts";
import { stepOf } from "../../steps.ts";
import type { KindLook } from "../../worker/benchRequests.ts";
import { Files } from "./Files.tsx";
import { SettingField } from "./SettingField.tsx";

/** Which measurement, which files, how it was set up: one narrow column. */
export function BenchInputs() {
  const kinds = useBench((state) => state.kinds);
  const kind = useBench(kindNow);
  const files = useBench((state) => state.files.length);
  return (
    <section className="inputs" aria-label="Inputs: Bench">
      <p className="asks">{stepOf("bench").asks}</p>
      <div className="inputs-scroll bench-inputs">
        <label className="bench-kind">
          <span>Measurement</span>
          <select
            className="field-input"
            value={kind?.name ?? ""}
            onChange={(event) => chooseKind(event.target.value)}
            aria-describedby="bench-kind-words"
          >
            {kind === null && <option value="">choose what was measured</option>}
            {kinds?.map(({ name }) => (
              <option key={name} value={name}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <p className="quiet-text bench-kind-words" id="bench-kind-words">
          {kind?.summary ?? ""}
        </p>
        {kind !== null && <Files kind={kind} />}
        {kind !== null && kind.settings.length > 0 && (
          <SetUp key={kind.name} kind={kind} files={files} />
        )}
        <section className="bench-sheet" aria-label="Bench sheet">
          <p className="quiet-text">
            The bench sheet says what to set up and measure on this design, in which order, and what
            to expect.
          </p>
          <button type="button" onClick={() => void printSheet()}>
            Print the bench sheet
          </button>
          <button type="button" onClick={() => void sheetAsFile()}>
            As a file
          </button>
        </section>
      </div>
    </section>
  );
}

/** Settings that stand at once; what is needed comes first. */
const AT_ONCE = 7;

function SetUp({ kind, files }: { kind: KindLook; files: number }) {
  const needed = kind.settings.filter(({ required, standard }) => required && standard === null);
  const others = kind.settings.filter((setting) => !needed.includes(setting));
  const room = Math.max(0, AT_ONCE - needed.length);
  const first = [...needed, ...others.slice(0, others.length <= room + 2 ? others.length : room)];
  const rest = kind.settings.filter((setting) => !first.includes(setting));
  const field = (setting: KindLook["settings"][number]) => (
    <SettingField key={setting.key} kind={kind.name} setting={setting} files={files} />
  );
  return (
    <>
      <fieldset className="block bench-setup">
        <legend>Set-up</legend>
        {first.map(field)}
      </fieldset>
      {rest.length > 0 && (
        <details className="more">
          <summary>More of the set-up ({rest.length})</summary>
          <fieldset className="block bench-setup">
            <legend className="spoken">More of the set-up</legend>
            {rest.map(field)}
          </fieldset>
        </details>
      )}
    </>
  );
}
