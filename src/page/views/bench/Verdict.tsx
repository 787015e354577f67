/** A verdict: its first sentence large, the others as they read. */
export function Verdict({ text, bad = false }: { text: string; bad?: boolean }) {
  const end = text.search(/(?<=[.:]) (?=[A-Z])/);
  const [first, rest] = end < 0 ? [text, ""] : [text.slice(0, end), text.slice(end)];
  return (
    <p className={`ways-verdict${bad ? " wrong-words" : ""}`}>
      {first}
      {rest !== "" && <span className="rest">{rest}</span>}
    </p>
  );
}
