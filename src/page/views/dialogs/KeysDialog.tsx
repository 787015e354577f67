import { KEYS } from "../useKeys.ts";

/** Every key that the page knows. */
export function KeysDialog() {
  return (
    <dl className="keys">
      {KEYS.map(({ keys, does }) => (
        <div key={keys}>
          <dt>{keys}</dt>
          <dd>{does}</dd>
        </div>
      ))}
    </dl>
  );
}
