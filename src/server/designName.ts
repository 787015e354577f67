/** How the name of a design file ends. */
export const DESIGN_SUFFIX = /\.reed\.(?:ya?ml|json)$/;

/** Longest name of a design file, characters. */
export const NAME_LENGTH_MAX = 120;

/** Names that stand for devices where Windows looks, whatever follows the first point. */
const DEVICE = /^(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])\s*(?:\.|$)/i;

/**
 * What keeps a text from being the name of a design file, as a sentence without its subject; null when
 * nothing does. A name is one piece of a path in any system, so that it can't lead anywhere else.
 */
export function nameProblem(name: string): string | null {
  if (/[/\\]/.test(name)) return "may not hold / or \\: it names a file of this folder";
  if (/\p{Cc}|\p{Cs}|\p{Zl}|\p{Zp}/u.test(name)) return "may not hold control characters";
  if (/[<>:"|?*]/.test(name)) return 'may not hold any of < > : " | ? *';
  if (name.startsWith(".")) return "may not begin with a point";
  if (!DESIGN_SUFFIX.test(name)) return "must end in .reed.yaml, .reed.yml or .reed.json";
  if ([...name].length > NAME_LENGTH_MAX) return `has more than ${NAME_LENGTH_MAX} characters`;
  if (DEVICE.test(name)) return "is the name of a device in some systems";
  return null;
}
