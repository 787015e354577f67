import { lazy, Suspense } from "react";

/** The bench with its own styles: fetched when it is first looked at. */
const BenchStep = lazy(async () => {
  try {
    const [{ BenchStep: step }] = await Promise.all([import("./bench/BenchStep.tsx"), styled()]);
    return { default: step };
  } catch {
    return { default: NotFetched };
  }
});

function styled(): Promise<void> {
  const href = document.querySelector<HTMLMetaElement>('meta[name="bench-style"]')?.content ?? "";
  return new Promise((resolve, reject) => {
    const link = document.createElement("link");
    link.rel = "stylesheet";
    link.href = href;
    link.onload = () => resolve();
    link.onerror = () => reject(new Error("the styles of the bench could not be fetched"));
    document.head.append(link);
  });
}

export function Bench() {
  return (
    <Suspense fallback={<Waiting words="The bench is being fetched." />}>
      <BenchStep />
    </Suspense>
  );
}

function NotFetched() {
  return (
    <Waiting words="The bench could not be fetched: the program behind this page does not answer. Start it again and load this page anew; your changes are kept in this browser." />
  );
}

function Waiting({ words }: { words: string }) {
  return (
    <>
      <section className="inputs" />
      <section className="picture">
        <p className="empty">{words}</p>
      </section>
    </>
  );
}
