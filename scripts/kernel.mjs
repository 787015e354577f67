/**
 * Compiles assembly/kernel.as with network.as and writes it as text into src/physics/pulse/kernelCode.ts.
 * With --check it only says whether the written text is the one that the source gives.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import asc from "assemblyscript/asc";
import { register } from "tsx/esm/api";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const TARGET = join(ROOT, "src/physics/pulse/kernelCode.ts");

register();
const { assemblyConstants } = await import("../src/physics/pulse/layout.ts");

export async function kernelText() {
  const texts = ["kernel", "network"].map((name) =>
    readFileSync(join(ROOT, `assembly/${name}.as`), "utf8"),
  );
  const source = texts.join("\n").replace("/* LAYOUT */", assemblyConstants());
  const files = { "kernel.ts": source };
  let binary;
  const { error, stderr } = await asc.main(
    [
      "kernel.ts",
      "--outFile",
      "kernel.wasm",
      "-O3",
      "--runtime",
      "stub",
      "--noAssert",
      "--enable",
      "simd",
      "--disable",
      "bulk-memory",
    ],
    {
      readFile: (name) => files[name] ?? null,
      writeFile: (_, contents) => {
        binary = contents;
      },
      listFiles: () => [],
    },
  );
  if (error) throw new Error(`${error.message}\n${stderr.toString()}`);
  const lines = Buffer.from(binary)
    .toString("base64")
    .match(/.{1,96}/g);
  return `/** assembly/kernel.as compiled, ${binary.length} bytes in base 64. Written by scripts/kernel.mjs. */
export const KERNEL_CODE =
  "${lines.join('" +\n  "')}";
`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const text = await kernelText();
  if (process.argv.includes("--check")) {
    if (readFileSync(TARGET, "utf8") !== text) {
      console.error(
        "src/physics/pulse/kernelCode.ts is not what assembly/kernel.as gives: node scripts/kernel.mjs",
      );
      process.exit(1);
    }
  } else writeFileSync(TARGET, text);
}
