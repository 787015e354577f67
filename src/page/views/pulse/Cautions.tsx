/** What must be known before figures are trusted, each with what to do about it. */
export function Cautions({ cautions }: { cautions: readonly { text: string; action: string }[] }) {
  if (cautions.length === 0) return null;
  return (
    <ul className="cautions">
      {cautions.map(({ text, action }) => (
        <li key={text}>
          {text}: <b>{action}</b>
        </li>
      ))}
    </ul>
  );
}
