import { type FormEvent, useId, useState } from "react";
import { copyName, write } from "../../actions.ts";
import { get } from "../../state.ts";

const NAME = /^[^./\\\p{Cc}][^/\\\p{Cc}]*\.reed\.(ya?ml|json)$/u;

/** A name for a new file of the folder. */
export function SaveAsDialog({ why }: { why: string | null }) {
  const id = useId();
  const [name, setName] = useState(() => {
    const now = get().draft?.name ?? null;
    return now === null ? "new-valve.reed.yaml" : copyName(now);
  });
  const full = /\.(ya?ml|json)$/.test(name) ? name : `${name}.reed.yaml`;
  const good = NAME.test(full);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (good) void write(full, null);
  };
  return (
    <form onSubmit={submit}>
      {why !== null && <p className="wrong-words">{why}</p>}
      <p className="form-line">
        <label htmlFor={id}>Name of the file</label>
        <input
          id={id}
          type="text"
          autoComplete="off"
          value={name}
          aria-invalid={!good}
          onChange={(event) => setName(event.target.value)}
        />
      </p>
      <p className="quiet-text">
        {good
          ? `It will be ${full} in the folder ${get().folder?.folder ?? ""}; the file that is open stays as it is.`
          : "A name without folders, such as second-valve.reed.yaml."}
      </p>
      <button type="submit" className="strong" disabled={!good}>
        Save
      </button>
    </form>
  );
}
