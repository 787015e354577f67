// Typed mutations of design files, each with the outcome it must have; or random designs with a pulse each.
// npm run fuzz -- [CASES] [SEED]; default 100000 cases, seed 2.
// npm run fuzz -- pulses [CASES] [SEED]; default 10000 designs, seed 3.
// npm run fuzz -- imports [CASES] [SEED]: broken files of measured data; default 100000, seed 5.
import { register } from "tsx/esm/api";

register();
if (process.argv[2] === "pulses") await import("../test/pulse/main.ts");
else if (process.argv[2] === "imports") await import("../test/bench/import/fuzz/main.ts");
else await import("../test/design/fuzz/main.ts");
