import { formatQuantity } from "../../units/index.ts";
import type { Given, Settings } from "../kind.ts";
import type { Value, Warning } from "../reduction.ts";
import { word } from "../settings.ts";
import type { Rise } from "./rise.ts";
import type { Behind, Separation } from "./separate.ts";

/** 95 % point of the normal distribution, one-sided. */
const ONE_SIDED = 1.645;

interface Around {
  settings: Settings;
  drift: Given;
  factors: boolean;
}

/** What a careful colleague would say of records of a rising pressure. */
export function leakWarnings(
  rises: readonly Rise[],
  behind: readonly Behind[] | null,
  chosen: Separation | null,
  laws: readonly Separation[],
  values: readonly Value[],
  { settings, drift, factors }: Around,
): Warning[] {
  const warnings: Warning[] = [];
  const add = (key: string, text: string) => warnings.push({ key, text });
  const first = rises[0]!;
  if (first.rate < ONE_SIDED * first.u)
    add(
      "below-detection",
      "The pressure does not rise beyond what scatter and drift can do: the inflow is not different from zero. Say that it is below the detection limit, or measure longer.",
    );
  if (rises.length === 1)
    add(
      "leak-or-outgassing",
      "One record: leak and outgassing are not told apart. A leak hardly changes within a day and follows gas and pressure behind the seat; outgassing falls with every hour of pumping.",
    );
  const measured =
    drift.u > 0 ||
    drift.value !== 0 ||
    rises.every((rise) => /mean temperature/.test(rise.fit.curve.yName));
  const span = (rise: Rise) => Math.abs(rise.fit.parameters[1]?.value ?? 0) / rise.meanPressure;
  const small = rises.find((rise) => rise.meanPressure > 0 && span(rise) * rise.temperature < 1);
  if (!measured || small !== undefined) {
    const rise = small ?? first;
    const kelvin = formatQuantity(span(rise) * rise.temperature, 0, "temperature difference", {
      digits: 2,
    });
    if (span(rise) * rise.temperature < 10)
      add(
        "temperature-drift",
        `${rise.name}: warming of the chamber by ${kelvin} would look like the whole rise. Record the temperature beside the pressure, or give temperature-drift.`,
      );
  }
  const other = behind?.find(({ gas }) => !["N2", "air"].includes(gas.name));
  if (other !== undefined && !factors)
    add(
      "gauge-gas",
      `The gas is ${other.gas.name}: an ionisation or heat-loss gauge that is set for nitrogen reads it wrong by up to a factor of six. Give gauge-factor, or use a gauge that reads force on a membrane.`,
    );
  const full = behind?.findIndex(
    ({ upstream }, i) => upstream > 0 && rises[i]!.lastPressure > 0.05 * upstream,
  );
  if (full !== undefined && full >= 0)
    add(
      "back-pressure",
      `${rises[full]!.name}: the chamber reaches more than a twentieth of the pressure behind the leak, which no longer is constant.`,
    );
  for (const key of ["leak_rate_Pa_m3_s", "outgassing_Pa_m3_s"]) {
    const found = values.find((value) => value.key === key);
    if (typeof found?.value === "number" && found.u !== null && found.value < ONE_SIDED * found.u)
      add(
        key.startsWith("leak") ? "leak-not-seen" : "outgassing-not-seen",
        found.value < -2 * found.u
          ? `The ${found.name} comes out negative: the records do not belong together (outgassing fell between them, or the law is wrong).`
          : `The ${found.name} is not different from zero.`,
      );
  }
  if (chosen !== null) {
    if (chosen.fits === false)
      add(
        "law-does-not-fit",
        `No constant outgassing with a ${chosen.passage} leak describes all records: outgassing changed between them, or the leak is of the other kind in part.`,
      );
    const rival = laws.find((law) => law.passage !== chosen.passage);
    if (rival !== undefined && rival.fits !== false && word(settings, "passage") === null)
      add(
        "law-not-told",
        `Viscous and molecular leak are not told apart by these records (${rises.length < 3 ? "two only" : "both fit"}); ${chosen.passage} is taken, ${rival.passage} would give ${formatQuantity(Math.max(0, (rival.conductance * rival.driving[0]! * (values.find((v) => v.key === "inflow_Pa_m3_s")?.value ?? 0)) / Math.max(first.rate, 1e-300)), 0, "throughput", { digits: 2 })}.`,
      );
  }
  return warnings;
}
