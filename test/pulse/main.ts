import { judge } from "./judge.ts";

/** `fuzz.mjs pulses CASES SEED`: one line a block and one a fault; exit 1 where there was one. */
const [cases = 10_000, seed = 3] = process.argv.slice(3).map(Number);
if (!(Number.isSafeInteger(cases) && cases > 0 && Number.isSafeInteger(seed) && seed >= 0)) {
  process.stderr.write("usage: npm run fuzz -- pulses [CASES] [SEED], whole numbers\n");
  process.exit(2);
}
const block = Math.max(1, Math.ceil(cases / 50));
const counts: Record<string, number> = {};
let failed = 0;
let worst = 0;
for (let i = 0; i < cases; i++) {
  const { what, fault, audit } = judge(seed, i);
  counts[what] = (counts[what] ?? 0) + 1;
  if (fault !== null) {
    failed++;
    process.stdout.write(`seed ${seed}, case ${i}: ${fault}\n`);
  } else worst = Math.max(worst, audit ?? 0);
  if ((i + 1) % block === 0 || i + 1 === cases)
    process.stdout.write(`${i + 1} of ${cases} designs, seed ${seed}: ${failed} failed\n`);
}
const rows = Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1));
for (const [name, n] of rows) process.stdout.write(`${String(n).padStart(8)}  ${name}\n`);
process.stdout.write(`largest audit of those without fault: ${worst.toExponential(2)}\n`);
process.exit(failed === 0 ? 0 : 1);
