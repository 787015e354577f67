// Typed mutations of design files, each with the outcome it must have.
// npm run fuzz -- [CASES] [SEED]; default 100000 cases, seed 2.
import { register } from "tsx/esm/api";

register();
await import("../test/design/fuzz/main.ts");
