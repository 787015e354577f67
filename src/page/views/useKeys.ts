import { useEffect } from "react";
import { redoChange, save, undoChange } from "../actions.ts";
import { get, set } from "../state.ts";
import { STEPS } from "../steps.ts";

/** Keys that work everywhere on the page; none takes a key that the browser needs. */
export const KEYS = [
  { keys: "Ctrl Z", does: "undo the last change" },
  { keys: "Ctrl Y or Ctrl Shift Z", does: "do it again" },
  { keys: "Ctrl S", does: "save to the file" },
  {
    keys: "Alt 1 to Alt 9",
    does: "the steps: need, strip, wiring, free length, seat, drive, pulse, rate",
  },
  {
    keys: "Tab, Shift Tab",
    does: "from input to input, to the margins, to the parts of the drawing",
  },
  { keys: "Enter, Esc in an input", does: "take the text, leave the old one" },
  {
    keys: "Arrow up, arrow down in an input",
    does: "step in the last digit; with Shift ten steps",
  },
  { keys: "Arrows on the length handle", does: "0.1 mm; with Shift 1 mm" },
  {
    keys: "Arrows on a chart",
    does: "move the cursor; plus, minus zoom; Shift and arrows pan; 0 the whole",
  },
  { keys: "Plus, minus, 0 on the drawing", does: "nearer, farther, whole; Shift and arrows pan" },
  {
    keys: "Arrows on the time of a pulse",
    does: "a step; page keys a tenth, Home and End the ends; plus, minus, 0 zoom",
  },
  { keys: "?", does: "this list" },
] as const;

export function useKeys(): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const command = event.ctrlKey || event.metaKey;
      const key = event.key.toLowerCase();
      if (command && key === "z" && !event.altKey) {
        if (typing(event.target)) return;
        event.preventDefault();
        if (event.shiftKey) redoChange();
        else undoChange();
      } else if (command && key === "y") {
        if (typing(event.target)) return;
        event.preventDefault();
        redoChange();
      } else if (command && key === "s" && !event.shiftKey) {
        event.preventDefault();
        (document.activeElement as HTMLElement | null)?.blur();
        void save();
      } else if (event.altKey && !command && /^[1-9]$/.test(event.key)) {
        const step = STEPS[Number(event.key) - 1];
        if (step === undefined || get().dialog !== null) return;
        event.preventDefault();
        set({ step: step.id });
      } else if (event.key === "?" && !inText(event.target)) {
        event.preventDefault();
        set({ dialog: { kind: "keys" } });
      }
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  }, []);
}

const inText = (target: EventTarget | null): boolean =>
  target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement;

/** A text that is being typed has an undo of its own. */
const typing = (target: EventTarget | null): boolean =>
  target instanceof HTMLTextAreaElement ||
  (target instanceof HTMLInputElement && target.value !== target.defaultValue);
