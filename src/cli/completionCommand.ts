import { toAscii } from "../report/text/style.ts";
import { bashScript } from "./completion/bash.ts";
import { fishScript } from "./completion/fish.ts";
import { zshScript } from "./completion/zsh.ts";
import { EXIT } from "./exit.ts";
import type { Flags } from "./flags.ts";
import type { SHELLS } from "./options.ts";
import type { Look, Outcome } from "./outcome.ts";

const SCRIPTS: Record<(typeof SHELLS)[number], () => string> = {
  bash: bashScript,
  zsh: zshScript,
  fish: fishScript,
};

/** `reedlift completion SHELL`: a static script. */
export function completionCommand(shell: string | null, _flags: Flags, { ascii }: Look): Outcome {
  const script = SCRIPTS[shell as keyof typeof SCRIPTS]();
  return {
    code: EXIT.met,
    result: { shell, script },
    text: () => (ascii ? toAscii(script) : script),
    troubles: [],
    notes: [],
    provenance: {},
  };
}
