/** How parts of the sheet are painted; each function gets finished text and may wrap it. */
export interface Palette {
  strong: (text: string) => string;
  quiet: (text: string) => string;
  met: (text: string) => string;
  unmet: (text: string) => string;
  caution: (text: string) => string;
  accent: (text: string) => string;
}

const same = (text: string) => text;

/** Paints nothing. */
export const PLAIN: Palette = {
  strong: same,
  quiet: same,
  met: same,
  unmet: same,
  caution: same,
  accent: same,
};

/** Characters that the pictures in text are made of, one column each. */
export interface Glyphs {
  used: string;
  left: string;
  open: string;
  stop: string;
  over: string;
  beyond: string;
  outside: string;
  from: string;
  to: string;
  here: string;
  best: string;
  met: string;
  unmet: string;
  unknown: string;
  rule: string;
}

const TYPESET: Glyphs = {
  used: "━",
  left: "─",
  open: "├",
  stop: "┤",
  over: "╱",
  beyond: "┼",
  outside: "╱",
  from: "┝",
  to: "┥",
  here: "◆",
  best: "◇",
  met: " ",
  unmet: "✗",
  unknown: "?",
  rule: "─",
};

const ASCII: Glyphs = {
  used: "=",
  left: "-",
  open: "|",
  stop: "|",
  over: "/",
  beyond: "+",
  outside: "/",
  from: "[",
  to: "]",
  here: "*",
  best: "o",
  met: " ",
  unmet: "x",
  unknown: "?",
  rule: "-",
};

export interface TextStyle {
  columns: number;
  ascii: boolean;
  palette: Palette;
  glyphs: Glyphs;
  /** Text of any origin, in the characters that this sheet may use. */
  words: (text: string) => string;
}

export interface TextOptions {
  /** Width that no line exceeds, at least 80, default 100. */
  columns?: number;
  /** Nothing but ASCII, default false. */
  ascii?: boolean;
  /** Default: no colour. */
  palette?: Palette;
}

/** RangeError when `columns` is below 80. */
export function textStyle(options: TextOptions = {}): TextStyle {
  const { columns = 100, ascii = false, palette = PLAIN } = options;
  if (!(columns >= 80)) throw new RangeError(`columns must be at least 80: got ${columns}`);
  return {
    columns,
    ascii,
    palette,
    glyphs: ascii ? ASCII : TYPESET,
    words: ascii ? toAscii : same,
  };
}

const REPLACED: Record<string, string> = {
  "−": "-",
  "–": "-",
  "—": "-",
  "×": "x",
  "·": "*",
  "±": "+/-",
  "≥": ">=",
  "≤": "<=",
  "≈": "~",
  "°": "deg ",
  "\u00b5": "u",
  "\u03bc": "u",
  "\u03a9": "ohm",
  "\u2126": "ohm",
  "½": "1/2",
  "→": "->",
  "…": "...",
  "∅": "dia.",
  "√": "sqrt ",
  "∝": "~",
  Θ: "Theta",
  α: "alpha",
  γ: "gamma",
  δ: "delta",
  κ: "kappa",
  ψ: "psi",
  χ: "chi",
  β: "beta",
  θ: "theta",
  Δ: "Delta ",
};

/** ASCII for any text: known signs by their usual spelling, accents dropped, the rest as "?". */
export function toAscii(text: string): string {
  let out = "";
  for (const char of text.replaceAll("°C", "degC")) {
    if (char.charCodeAt(0) < 128) out += char;
    else if (REPLACED[char] !== undefined) out += REPLACED[char];
    else {
      const power = /[²³]/.test(char) ? "^" : "";
      const bare = char.normalize("NFKD").replace(/\p{M}/gu, "");
      out += /^[\x20-\x7e]+$/.test(bare) ? power + bare : "?";
    }
  }
  return out;
}
