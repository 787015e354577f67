import { type Box, overlaps, textBox } from "../../src/report/figures/labels.ts";

export interface Label {
  words: string;
  size: number;
  box: Box;
}

/** Every text of a picture with the box that it takes. */
export function labelsOf(svg: string): Label[] {
  return [...svg.matchAll(/<text ([^>]*)>([^<]*)<\/text>/g)].map(([, attributes, inner]) => {
    const get = (name: string) => new RegExp(`(?:^| )${name}="([^"]*)"`).exec(attributes!)?.[1];
    const words = inner!.replaceAll("&lt;", "<").replaceAll("&gt;", ">").replaceAll("&amp;", "&");
    const size = Number(get("font-size"));
    const box = textBox(Number(get("x")), Number(get("y")), words, {
      size,
      anchor: (get("text-anchor") ?? "start") as "start",
      ...(get("font-weight") === "bold" ? { weight: "bold" as const } : {}),
      ...(get("transform")?.startsWith("rotate(-90") ? { turn: -90 as const } : {}),
    });
    return { words, size, box };
  });
}

/** Slack for the estimate of a text's width, px. */
const SLACK = 1.5;

/** Pairs of labels that stand over each other. */
export function clashes(svg: string): string[] {
  const labels = labelsOf(svg).map(({ words, box }) => ({
    words,
    box: {
      x: box.x + SLACK,
      y: box.y + SLACK,
      width: box.width - 2 * SLACK,
      height: box.height - 2 * SLACK,
    },
  }));
  return labels.flatMap((a, i) =>
    labels
      .slice(i + 1)
      .filter((b) => overlaps(a.box, b.box))
      .map((b) => `${a.words} | ${b.words}`),
  );
}

/** Labels that leave the sheet or are smaller than 9 px. */
export function outsideOf(svg: string): string[] {
  const [, width, height] = /viewBox="0 0 (\d+) (\d+)"/.exec(svg)!;
  return labelsOf(svg)
    .filter(
      ({ size, box }) =>
        size < 9 ||
        box.x < 0 ||
        box.y < 0 ||
        box.x + box.width > Number(width) ||
        box.y + box.height > Number(height),
    )
    .map(({ words }) => words);
}
