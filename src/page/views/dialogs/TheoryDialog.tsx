import { useEffect, useState } from "react";
import { useBench } from "../../compute/bench.ts";
import { type StepId, stepOf } from "../../steps.ts";

interface Section {
  title: string;
  html: string;
}

/** The notes of docs/theory.md that belong to a step, or of docs/bench.md, with the other sections below them. */
export function TheoryDialog({ step }: { step: StepId }) {
  const [sections, setSections] = useState<Section[] | string | null>(null);
  const kind = useBench((state) => state.kind);
  const notes = step === "bench" ? "bench-notes" : "theory";
  useEffect(() => {
    const address = document.querySelector<HTMLMetaElement>(`meta[name="${notes}"]`)?.content ?? "";
    fetch(address)
      .then((response) => response.json())
      .then((found: Section[]) => setSections(found))
      .catch(() => setSections("The notes could not be fetched; they stand in the folder docs."));
  }, [notes]);
  if (sections === null) return <p className="quiet-text">Being fetched.</p>;
  if (typeof sections === "string") return <p>{sections}</p>;
  const words = stepOf(step).theory;
  const mine = (title: string) =>
    words.includes(title) || (kind !== null && title.startsWith(`${kind}:`));
  const here = sections.filter(({ title }) => mine(title));
  const rest = sections.filter(({ title }) => !mine(title));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key
    <section className="theory" tabIndex={0} aria-label="Notes on the computation">
      {here.map((section) => (
        <Notes key={section.title} section={section} />
      ))}
      <details>
        <summary>{step === "bench" ? "The other measurements" : "The other steps"}</summary>
        {rest.map((section) => (
          <Notes key={section.title} section={section} />
        ))}
      </details>
    </section>
  );
}

function Notes({ section }: { section: Section }) {
  return (
    <article>
      <h3>{section.title}</h3>
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: made from docs/theory.md at build time */}
      <div dangerouslySetInnerHTML={{ __html: section.html }} />
    </article>
  );
}
