import { useEffect, useState } from "react";
import { type StepId, stepOf } from "../../steps.ts";

interface Section {
  title: string;
  html: string;
}

/** The notes of docs/theory.md that belong to a step, with the other sections below them. */
export function TheoryDialog({ step }: { step: StepId }) {
  const [sections, setSections] = useState<Section[] | string | null>(null);
  useEffect(() => {
    const address = document.querySelector<HTMLMetaElement>('meta[name="theory"]')?.content ?? "";
    fetch(address)
      .then((response) => response.json())
      .then((found: Section[]) => setSections(found))
      .catch(() => setSections("The notes could not be fetched; they stand in docs/theory.md."));
  }, []);
  if (sections === null) return <p className="quiet-text">Being fetched.</p>;
  if (typeof sections === "string") return <p>{sections}</p>;
  const words = stepOf(step).theory;
  const mine = (title: string) => words.includes(title);
  const here = sections.filter(({ title }) => mine(title));
  const rest = sections.filter(({ title }) => !mine(title));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key
    <section className="theory" tabIndex={0} aria-label="Notes on the computation">
      {here.map((section) => (
        <Notes key={section.title} section={section} />
      ))}
      <details>
        <summary>The other steps</summary>
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
