import { judge } from "./judge.ts";

/** `fuzz.mjs imports CASES SEED`: one line a block and one a fault; exit 1 where there was one. */
const [cases = 100_000, seed = 5] = process.argv.slice(3).map(Number);
if (!(Number.isSafeInteger(cases) && cases > 0 && Number.isSafeInteger(seed) && seed >= 0)) {
  process.stderr.write("usage: npm run fuzz -- imports [CASES] [SEED], whole numbers\n");
  process.exit(2);
}
const block = Math.max(1, Math.ceil(cases / 20));
const counts: Record<string, number> = {};
let failed = 0;
for (let i = 0; i < cases; i++) {
  const { plain, answered, fault, done } = judge(seed, i);
  for (const key of [`plain: ${plain}`, `answered: ${answered}`, `changes: ${done.length}`])
    counts[key] = (counts[key] ?? 0) + 1;
  if (fault !== null) {
    failed++;
    process.stdout.write(`seed ${seed}, case ${i}: ${fault} (${done.join(", ")})\n`);
  }
  if ((i + 1) % block === 0 || i + 1 === cases)
    process.stdout.write(`${i + 1} of ${cases} files, seed ${seed}: ${failed} failed\n`);
}
const rows = Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1));
for (const [name, n] of rows) process.stdout.write(`${String(n).padStart(8)}  ${name}\n`);
process.exit(failed === 0 ? 0 : 1);
