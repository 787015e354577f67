import { create } from "zustand";
import type { Figure } from "../../report/figures/figure.ts";
import type {
  RateMapRequest,
  RatesAnswer,
  RatesRequest,
  ShapesRequest,
} from "../worker/pulseRequests.ts";
import { askStudy } from "./engine.ts";

export type RateKind = "rates" | "rate map" | "shapes";
type AnyRequest = RatesRequest | RateMapRequest | ShapesRequest;

/** The last scan of rates, as far as it is. */
export interface RatesState {
  result: RatesAnswer["result"];
  /** Rate that its margins are those of, Hz. */
  judged: number | null;
  /** Text that it belongs to. */
  text: string | null;
  whole: boolean;
}

export const useRates = create<RatesState>()(() => ({
  result: null,
  judged: null,
  text: null,
  whole: false,
}));

/** Numbers of a scan or map that was begun for a text, as CSV; null where it is gone. */
export async function numbersOfRates(
  text: string | null,
  request: Omit<AnyRequest, "kind"> & { kind: RateKind },
): Promise<string | null> {
  if (text === null) return null;
  return askStudy(
    (remote) => remote.ratesNumbers(text, request as AnyRequest) as Promise<string | null>,
  );
}

/** Its picture as a file for paper. */
export async function ratesPaper(
  text: string | null,
  request: Omit<AnyRequest, "kind"> & { kind: RateKind },
  origin: string,
): Promise<Figure | null> {
  if (text === null) return null;
  return askStudy(
    (remote) => remote.ratesOnPaper(text, request as AnyRequest, origin) as Promise<Figure | null>,
  );
}
