import { SIZE } from "./theme.ts";

/*
 * Advance widths of the printable ASCII characters in thousandths of the size, read from the font
 * that stands first in the stack (DejaVu Sans 2.37; Verdana has nearly the same). Bold is wider by BOLD.
 */
const WIDTHS = (
  "318 401 460 838 636 950 780 275 390 390 500 838 318 361 318 337 636 636 636 636 636 " +
  "636 636 636 636 636 337 337 838 838 838 531 1000 684 686 698 770 632 575 775 752 295 " +
  "295 656 557 863 748 787 603 787 695 635 611 732 684 989 685 611 685 390 337 390 838 " +
  "500 500 613 635 550 635 615 352 635 634 278 278 579 278 974 634 612 635 635 411 521 " +
  "392 634 592 818 592 592 525 636 337 636 838"
)
  .split(" ")
  .map(Number);

/** Signs beyond ASCII: powers and indices are narrow, operators wide, the rest as a digit. */
const NARROW = /[²³¹⁻₀-₉·°–]/;
const OPERATORS = /[−±×≥≤→←↑↓]/;
const BOLD = 1.14;

/** Width of a text in px, to the last few per cent. */
export function textWidth(words: string, size: number = SIZE.text, bold = false): number {
  let sum = 0;
  for (const char of words) {
    const ascii = WIDTHS[char.charCodeAt(0) - 32];
    sum += ascii ?? (NARROW.test(char) ? 420 : OPERATORS.test(char) ? 838 : 640);
  }
  return ((sum * size) / 1000) * (bold ? BOLD : 1);
}

/** Breaks words into lines no wider than `width` px. */
export function wrapWords(words: string, width: number, size: number = SIZE.text): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of words.split(" ")) {
    const joined = line === "" ? word : `${line} ${word}`;
    if (line !== "" && textWidth(joined, size) > width) {
      lines.push(line);
      line = word;
    } else line = joined;
  }
  return [...lines, line];
}
