import { useEffect } from "react";
import { set, usePage } from "../state.ts";
import type { Drawn, FigureId, FigureRequest } from "../worker/requests.ts";

/** Asks for a picture at a size while the component is there; undefined before it is drawn. */
export function useFigure(
  id: FigureId,
  size: { width: number; height: number } | null,
  view?: FigureRequest["view"],
): Drawn | undefined {
  const width = size?.width ?? 0;
  const height = size?.height ?? 0;
  useEffect(() => {
    if (width === 0 || height === 0) return;
    const request: FigureRequest = {
      id,
      size: { width, height },
      ...(view === undefined ? {} : { view }),
    };
    set((state) => ({ wanted: { ...state.wanted, [id]: request } }));
  }, [id, width, height, view]);
  useEffect(
    () => () => {
      set((state) => {
        const { [id]: _, ...wanted } = state.wanted;
        return { wanted };
      });
    },
    [id],
  );
  return usePage((state) => state.answer?.figures[id]);
}
