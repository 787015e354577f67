// Typed mutations of design files, each with the outcome it must have; or random designs with a pulse each.
// npm run fuzz -- [CASES] [SEED]; default 100000 cases, seed 2.
// npm run fuzz -- pulses [CASES] [SEED]; default 10000 designs, seed 3.
import { register } from "tsx/esm/api";

register();
if (process.argv[2] === "pulses") await import("../test/pulse/main.ts");
else await import("../test/design/fuzz/main.ts");
