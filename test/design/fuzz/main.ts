import { fuzzBases } from "./bases.ts";
import { fuzz } from "./run.ts";

/** `fuzz.mjs CASES SEED`: runs the cases in blocks and prints one line a block; exit 1 on a failure. */
const [cases = 100_000, seed = 2] = process.argv.slice(2).map(Number);
if (!(Number.isSafeInteger(cases) && cases > 0 && Number.isSafeInteger(seed) && seed >= 0)) {
  process.stderr.write("usage: npm run fuzz -- [CASES] [SEED], whole numbers\n");
  process.exit(2);
}
const bases = fuzzBases();
const block = Math.max(1, Math.ceil(cases / 20));
const counts: Record<string, number> = {};
let failed = 0;
for (let from = 0; from < cases; from += block) {
  const result = fuzz(bases, seed, from, Math.min(block, cases - from));
  for (const [name, n] of Object.entries(result.counts)) counts[name] = (counts[name] ?? 0) + n;
  failed += result.failures.length;
  process.stdout.write(`${from + result.done} of ${cases} cases, seed ${seed}: ${failed} failed\n`);
  for (const failure of result.failures.slice(0, 3))
    process.stdout.write(`${JSON.stringify(failure, null, 1)}\n`);
}
const rows = Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1));
for (const [name, n] of rows) process.stdout.write(`${String(n).padStart(8)}  ${name}\n`);
process.exit(failed === 0 ? 0 : 1);
