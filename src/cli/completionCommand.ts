import { bashScript } from "./completion/bash.ts";
import { fishScript } from "./completion/fish.ts";
import { zshScript } from "./completion/zsh.ts";
import { EXIT } from "./exit.ts";
import type { SHELLS } from "./options.ts";
import type { Outcome } from "./outcome.ts";

const SCRIPTS: Record<(typeof SHELLS)[number], () => string> = {
  bash: bashScript,
  zsh: zshScript,
  fish: fishScript,
};

/** `reedlift completion SHELL`: a static script. */
export function completionCommand(shell: string | null): Outcome {
  const script = SCRIPTS[shell as keyof typeof SCRIPTS]();
  return {
    code: EXIT.met,
    result: { shell, script },
    text: () => script,
    troubles: [],
    notes: [],
    provenance: {},
  };
}
