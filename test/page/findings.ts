import AxeBuilder from "axe-core";
import type { Page } from "playwright-core";

/** Findings of axe (WCAG 2.2 A and AA, and its good practice), as one line each. */
export async function findings(page: Page): Promise<string[]> {
  await page.evaluate(AxeBuilder.source);
  return page.evaluate(async () => {
    const { violations } = await (
      window as never as {
        axe: {
          run(
            options: object,
          ): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }>;
        };
      }
    ).axe.run({
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    });
    return violations.map(
      ({ id, nodes }) => `${id}: ${nodes.map((n) => n.html.slice(0, 120)).join(" | ")}`,
    );
  });
}
