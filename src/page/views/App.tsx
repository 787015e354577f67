import { memo, startTransition, useEffect, useState } from "react";
import { type PageState, textNow, usePage } from "../state.ts";
import { Bench } from "./Bench.tsx";
import { Dialogs } from "./Dialogs.tsx";
import { Header } from "./Header.tsx";
import { InputColumn } from "./InputColumn.tsx";
import { Margins } from "./Margins.tsx";
import { Notices } from "./Notices.tsx";
import { PaperSheet } from "./PaperSheet.tsx";
import { PictureColumn } from "./PictureColumn.tsx";
import { Problems } from "./Problems.tsx";
import { StepList } from "./StepList.tsx";
import { useKeys } from "./useKeys.ts";
import { Valve } from "./Valve.tsx";

/** The page, and how far its computation is. */
export function App() {
  useKeys();
  const computed = usePage(howFar);
  return (
    <div className="page" data-computed={computed}>
      <Contents />
    </div>
  );
}

/** The valve across it, the steps at the left, the margins at the right; parts follow what they show. */
const Contents = memo(function Contents() {
  const there = usePage((state) => state.draft !== null);
  const parts = useParts(there);
  return (
    <>
      <Header />
      {there ? (
        <main className="table">
          <Valve />
          <StepList />
          <div className="work">
            <Problems />
            <Work parts={parts} />
          </div>
          {parts > 0 ? <Margins /> : <section className="margins" />}
        </main>
      ) : (
        <Nothing />
      )}
      <Notices />
      <Dialogs />
      {parts > 2 && <PaperSheet />}
      <Spoken />
    </>
  );
});

/** Inputs and picture of the step; the bench has its own. */
function Work({ parts }: { parts: number }) {
  const bench = usePage((state) => state.step === "bench");
  if (bench && parts > 1) return <Bench />;
  return (
    <>
      {parts > 1 ? <InputColumn /> : <section className="inputs" />}
      {parts > 0 ? <PictureColumn /> : <section className="picture" />}
    </>
  );
}

function Spoken() {
  const said = usePage((state) => state.said);
  return (
    <p className="spoken" role="status" aria-live="polite">
      {said}
    </p>
  );
}

/**
 * How many parts of the page are up, the valve first: each takes a turn of its own, so that none
 * keeps the page from answering for long.
 */
function useParts(there: boolean): number {
  const [parts, setParts] = useState(0);
  useEffect(() => {
    if (!there || parts === PARTS) return;
    const timer = setTimeout(() => startTransition(() => setParts(parts + 1)));
    return () => clearTimeout(timer);
  }, [there, parts]);
  return parts;
}

const PARTS = 3;

/** How far the computation of the text on the page is. */
function howFar(state: PageState): "nothing" | "figures" | "whole" {
  const text = textNow(state);
  if (text === null || state.problems.length > 0 || state.answerText !== text) return "nothing";
  const settled = state.window?.text === text && state.full?.text === text;
  return settled && state.preview === null ? "whole" : "figures";
}

function Nothing() {
  const gone = usePage((state) => !state.serverThere);
  return (
    <main className="nothing">
      {gone ? (
        <p>
          The program behind this page does not answer. Start it again with{" "}
          <code>reedlift serve</code>; this page comes back by itself.
        </p>
      ) : (
        <p>Open a design or start a new one: the buttons are above.</p>
      )}
    </main>
  );
}
