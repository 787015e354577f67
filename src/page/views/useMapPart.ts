import { useEffect, useRef, useState } from "react";
import { drawMap } from "../compute/engine.ts";
import type { MapAnswer, MapRequest } from "../worker/requests.ts";

/**
 * The part of a map that is looked at, drawn anew as it grows; the newest part only, so that a pan
 * does not queue. Null while the whole is shown.
 * @param drawnWhole what is known of the whole map now
 */
export function useMapPart(
  text: string | null,
  request: MapRequest | null,
  drawnWhole: MapAnswer | null,
): MapAnswer | null {
  const [part, setPart] = useState<MapAnswer | null>(null);
  const wanted = useRef<{ text: string; request: MapRequest } | null>(null);
  const busy = useRef(false);
  const asked = JSON.stringify(request);
  useEffect(() => {
    const next = JSON.parse(asked) as MapRequest | null;
    if (text === null || next?.view === undefined || drawnWhole === null) {
      wanted.current = null;
      setPart(null);
      return;
    }
    wanted.current = { text, request: next };
    const draw = async () => {
      busy.current = true;
      while (wanted.current !== null) {
        const now = wanted.current;
        const drawn = await drawMap(now.text, now.request).catch(() => null);
        if (wanted.current === null) break;
        if (wanted.current === now) wanted.current = null;
        if (drawn !== null) setPart(drawn);
      }
      busy.current = false;
    };
    if (!busy.current) void draw();
  }, [text, asked, drawnWhole]);
  return part;
}
