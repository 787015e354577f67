import { openDesign } from "../../actions.ts";
import { isDirty } from "../../document/draft.ts";
import { usePage } from "../../state.ts";

/** The designs of the folder. */
export function OpenDialog() {
  const folder = usePage((state) => state.folder);
  const draft = usePage((state) => state.draft);
  if (folder === null)
    return <p>The folder is not known: the program behind this page does not answer.</p>;
  return (
    <>
      <p className="quiet-text">
        Folder {folder.folder}.{" "}
        {draft !== null && isDirty(draft)
          ? "Changes of the design on the page stay kept in this browser."
          : ""}
      </p>
      {folder.files.length === 0 && <p>No design here yet (NAME.reed.yaml). Start a new one.</p>}
      <ul className="files">
        {folder.files.map(({ name, title, modified, reason }) => (
          <li key={name}>
            <button
              type="button"
              disabled={reason !== undefined}
              aria-current={name === draft?.name ? "true" : undefined}
              onClick={() => void openDesign(name)}
            >
              <b>{name}</b>
              <span className="quiet-text">
                {reason ?? [title, when(modified)].filter((part) => part !== undefined).join(", ")}
              </span>
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}

function when(iso: string): string | undefined {
  const time = new Date(iso);
  if (Number.isNaN(time.getTime())) return undefined;
  return `changed ${time.toISOString().slice(0, 16).replace("T", " ")} UTC`;
}
