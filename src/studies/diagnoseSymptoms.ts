import { nearest } from "../design/nearest.ts";
import type { Symptom } from "./diagnoseTypes.ts";

/** What people notice, and what is usually behind it, likeliest first. Common practice, no source. */
export const SYMPTOMS: readonly Symptom[] = [
  {
    id: "no gas",
    name: "no gas, though a click is heard",
    words: ["no gas, click heard", "does not open", "click but no gas"],
    causes: ["preload", "rail", "pressure"],
  },
  {
    id: "leaks always",
    name: "leaks always",
    words: ["leak", "leaks", "does not close"],
    causes: ["particle", "stand-off", "pad"],
  },
  {
    id: "leaks after hours",
    name: "leaks only after hours",
    words: ["leaks only after hours", "leak after hours", "leaks later"],
    causes: ["creep", "set", "temperature"],
  },
  {
    id: "lift fell",
    name: "the lift fell",
    words: ["lift fell 20 %", "less lift", "swing fell", "lift low"],
    causes: ["depoled", "glue", "layer"],
  },
  {
    id: "f1 dropped",
    name: "the first resonance dropped",
    words: ["resonance dropped", "f1 low", "frequency dropped"],
    causes: ["clamp", "crack", "mass", "length"],
  },
  {
    id: "second gas pulse",
    name: "a second gas pulse",
    words: ["satellite", "double pulse", "second pulse"],
    causes: ["bounce", "overshoot", "reflection"],
  },
  {
    id: "long pulse",
    name: "the gas pulse is longer than the open time",
    words: ["pulse longer than open time", "pulse too long"],
    causes: ["dead volume", "gauge", "flight"],
  },
  {
    id: "delay drifts",
    name: "the delay drifts",
    words: ["timing drifts", "delay moves"],
    causes: ["drift by pressure", "drift by temperature", "history"],
  },
  {
    id: "supply trips",
    name: "the high-voltage supply trips only during pump-down",
    words: [
      "HV supply trips only during pump-down",
      "trips during pump-down",
      "supply trips only during pump-down",
    ],
    causes: ["discharge", "insulation"],
  },
  {
    id: "amplitude varies",
    name: "the amplitude varies from pulse to pulse",
    words: ["pulse-to-pulse amplitude ±10 %", "amplitude ±10 %", "unsteady amplitude"],
    causes: ["droop", "ringing", "regulator"],
  },
];

/** The symptom of that id or those words, whatever their case. */
export function symptomNamed(text: string): Symptom | null {
  const plain = text.trim().toLowerCase();
  return (
    SYMPTOMS.find(({ id, name, words }) =>
      [id, name, ...words].some((each) => each.toLowerCase() === plain),
    ) ?? null
  );
}

/** The nearest one to words that are none. */
export function nearSymptom(text: string): string | null {
  return nearest(
    text.toLowerCase(),
    SYMPTOMS.flatMap(({ id, name, words }) => [id, name, ...words]),
  );
}
