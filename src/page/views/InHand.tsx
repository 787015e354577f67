import { type FocusEvent, useEffect, useState } from "react";
import { allowedAt } from "../../design/limitsText.ts";
import { parameterAt } from "../../design/parameters.ts";
import { pathOf } from "../document/values.ts";
import { usePage } from "../state.ts";
import { NoteLine } from "./NoteLine.tsx";

/** What the input in hand means, what may stand there, and its note. */
export function InHand() {
  const [key, setKey] = useState<string | null>(null);
  const step = usePage((state) => state.step);
  useEffect(() => {
    void step;
    setKey(null);
  }, [step]);
  useEffect(() => {
    const onFocus = (event: globalThis.FocusEvent | FocusEvent) => {
      const field = (event.target as HTMLElement | null)?.closest<HTMLElement>("[data-key]");
      if (field?.dataset.key !== undefined) setKey(field.dataset.key);
    };
    document.addEventListener("focusin", onFocus);
    return () => document.removeEventListener("focusin", onFocus);
  }, []);
  if (key === null)
    return (
      <aside className="in-hand">
        <p className="quiet-text">
          Touch an input: what it means, what may stand there and a note of your own appear here.
        </p>
      </aside>
    );
  const parameter = parameterAt(pathOf(key));
  if (parameter === null) return null;
  return (
    <aside className="in-hand" aria-label="About this input">
      <p>
        <b>{parameter.label}</b> <code>{key}</code>
      </p>
      <p>{parameter.help}</p>
      <p className="quiet-text">
        Allowed: {allowedAt(parameter)}.
        {parameter.default === undefined
          ? ""
          : ` Default ${parameter.default}${parameter.defaultSource === undefined ? "" : ` (${parameter.defaultSource})`}.`}
      </p>
      <NoteLine inputKey={key} />
    </aside>
  );
}
