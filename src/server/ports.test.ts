import { expect, test } from "vitest";
import { browsersRefuse } from "./ports.ts";

/** What Node's fetch, which follows the same standard, says of a port at which no one listens. */
async function whyNot(port: number): Promise<string> {
  try {
    await fetch(`http://127.0.0.1:${port}/`, { signal: AbortSignal.timeout(2000) });
    return "answered";
  } catch (error) {
    return String((error as Error & { cause?: Error }).cause?.message ?? error);
  }
}

test("the ports that browsers refuse are those that fetch refuses", async () => {
  const listed = Array.from({ length: 65_536 - 1024 }, (_, i) => i + 1024).filter(browsersRefuse);
  expect(listed.length).toBeGreaterThan(15);
  for (const port of listed) expect([port, await whyNot(port)]).toEqual([port, "bad port"]);
  const neighbours = new Set(listed.flatMap((port) => [port - 1, port + 1]));
  for (let port = 4180; port <= 4200; port++) neighbours.add(port);
  for (const port of neighbours)
    if (!browsersRefuse(port)) expect([port, await whyNot(port)]).not.toEqual([port, "bad port"]);
});
