import { putAway, usePage } from "../state.ts";

const HEADS = { told: "", caution: "Mind: ", trouble: "Trouble: " } as const;

/** Short messages at the foot of the page. */
export function Notices() {
  const notices = usePage((state) => state.notices);
  return (
    <div className="notices" role="log" aria-live="polite" aria-label="Messages">
      {notices.map(({ id, kind, text, act }) => (
        <div key={id} className={`notice ${kind}`}>
          <p>
            <b>{HEADS[kind]}</b>
            {text}
          </p>
          {act !== undefined && (
            <button
              type="button"
              onClick={() => {
                putAway(id);
                act.do();
              }}
            >
              {act.name}
            </button>
          )}
          <button type="button" className="quiet" onClick={() => putAway(id)}>
            Put away
          </button>
        </div>
      ))}
    </div>
  );
}
