import { useMemo } from "react";
import { change, treeOf } from "../actions.ts";
import { useStudy } from "../compute/useStudy.ts";
import { keyOf, textAt } from "../document/values.ts";
import { textNow, usePage } from "../state.ts";
import { stepOf } from "../steps.ts";
import type { InputWindows } from "../worker/requests.ts";
import { additionsFor } from "./additions.ts";
import { Field } from "./Field.tsx";
import { blocksOf, type FieldBlock, labelOf } from "./fields.ts";
import { InHand } from "./InHand.tsx";
import { Windows } from "./inputWindows.ts";

/** The inputs of the step, one narrow column. */
export function InputColumn() {
  const step = usePage((state) => stepOf(state.step));
  const text = usePage(textNow) ?? "";
  const tree = treeOf(text);
  const main = useMemo(() => blocksOf(step.main, tree), [step, tree]);
  const more = useMemo(() => blocksOf(step.more, tree), [step, tree]);
  const wrongBelow = usePage((state) =>
    state.problems.some(({ path }) =>
      more.some((block) => block.fields.some((field) => keyOf(field.path) === path)),
    ),
  );
  const focus = usePage((state) => state.focus);
  const keys = main.flatMap(({ fields }) =>
    fields.flatMap(({ path, parameter }) =>
      parameter.kind === "quantity" && textAt(tree, path) !== "" ? [keyOf(path)] : [],
    ),
  );
  const { value: windows } = useStudy<InputWindows>("input windows", {
    kind: "input windows",
    keys,
  });
  const focusBelow =
    focus !== null &&
    more.some((block) => block.fields.some((field) => keyOf(field.path) === focus));
  const count = more.reduce((sum, block) => sum + block.fields.length, 0);
  return (
    <Windows.Provider value={windows ?? {}}>
      <section className="inputs" aria-label={`Inputs: ${step.name}`}>
        <p className="asks">{step.asks}</p>
        <div className="inputs-scroll">
          {main.map((block) => (
            <Block key={block.id} block={block} track />
          ))}
          <div className="additions">
            {additionsFor(step.id, tree).map(({ name, what, edits }) => (
              <button type="button" key={name} onClick={() => change(what, edits)}>
                {name}
              </button>
            ))}
          </div>
          {count > 0 && (
            <details className="more" open={wrongBelow || focusBelow || undefined}>
              <summary>More inputs ({count})</summary>
              {more.map((block) => (
                <Block key={block.id} block={block} />
              ))}
            </details>
          )}
        </div>
        <InHand />
      </section>
    </Windows.Provider>
  );
}

function Block({ block, track = false }: { block: FieldBlock; track?: boolean }) {
  const { heading, fields, item } = block;
  return (
    <fieldset className={heading === null ? "block plain" : "block"}>
      {heading === null ? null : (
        <legend>
          {heading}
          {item !== undefined && (
            <button
              type="button"
              className="quiet"
              aria-label={`Take out ${heading}`}
              onClick={() => change(`${heading} taken out`, [{ kind: "remove", path: item }])}
            >
              take out
            </button>
          )}
        </legend>
      )}
      {fields.map((spec) => (
        <Field key={keyOf(spec.path) + labelOf(spec)} spec={spec} track={track} />
      ))}
    </fieldset>
  );
}
