import type { DesignStore, StoreChange } from "./store.ts";

/** Time between two signs of life on a quiet stream, s (common practice, no source). */
export const HEARTBEAT_S = 15;

/** The streams of changes that are open. */
export interface ChangeStreams {
  /** `GET /api/changes`: one event a change, as `{"name", "sha256"}`, until the reader goes away. */
  answer(store: DesignStore): Promise<Response>;
  readonly open: number;
  /** Ends every stream; the browser comes back by itself when there is a server again. */
  close(): void;
}

/** @param heartbeat calls back now and then, until the function that it gives is called */
export function changeStreams(
  heartbeat: (beat: () => void) => () => void = everyHeartbeat,
): ChangeStreams {
  const ends = new Set<() => void>();
  return {
    get open() {
      return ends.size;
    },
    answer: async (store) => {
      const encoder = new TextEncoder();
      let controller: ReadableStreamDefaultController<Uint8Array> | undefined;
      const send = (text: string) => {
        try {
          controller?.enqueue(encoder.encode(text));
        } catch {
          // A reader that went away without a word.
          leave();
        }
      };
      const unwatch = await store.watch(({ name, sha256 }: StoreChange) =>
        send(`data: ${JSON.stringify({ name, sha256 })}\n\n`),
      );
      const still = heartbeat(() => send(": still here\n\n"));
      const leave = () => {
        controller = undefined;
        ends.delete(end);
        unwatch();
        still();
      };
      const end = () => {
        const open = controller;
        leave();
        open?.close();
      };
      ends.add(end);
      const body = new ReadableStream<Uint8Array>({
        start: (given) => {
          controller = given;
          send("retry: 1000\n: changes of the folder follow\n\n");
        },
        cancel: leave,
      });
      return new Response(body, {
        headers: {
          "Content-Type": "text/event-stream; charset=utf-8",
          "Cache-Control": "no-store",
        },
      });
    },
    close: () => {
      for (const end of [...ends]) end();
    },
  };
}

function everyHeartbeat(beat: () => void): () => void {
  const timer = setInterval(beat, HEARTBEAT_S * 1000);
  return () => clearInterval(timer);
}
