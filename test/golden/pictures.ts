import {
  inletDesign,
  snapDesign,
  stackDesign,
  stackResult,
  stripDesign,
  stripResult,
  unmetResult,
  unwired,
  valveDesign,
  valveResult,
} from "../../src/report/fixtures/index.test-data.ts";
import {
  type Figure,
  loadLines,
  lockoutBand,
  sectionView,
  sideView,
  windowChart,
} from "../../src/report/index.ts";

import { pulseAudit } from "../../src/report/figures/pulseAudit.ts";
import { pulseMotion } from "../../src/report/figures/pulseMotion.ts";
import { pulseMain, pulseTraces } from "../../src/report/figures/pulseTraces.ts";
import { writtenPulse, writtenTravel } from "./pulseRun.ts";
import { rateChart } from "../../src/report/figures/rateChart.ts";
import { rateMap } from "../../src/report/figures/rateMap.ts";
import { COARSE_CELLS, writtenRates, writtenRatesMap } from "./ratesRun.ts";
import { reduceComparison } from "../../src/report/figures/reduceComparison.ts";
import { reduceFit } from "../../src/report/figures/reduceFit.ts";
import { reduceTrace } from "../../src/report/figures/reduceTrace.ts";
import {
  WRITTEN_KIND,
  writtenComparisons,
  writtenData,
  writtenFit,
  writtenReduction,
} from "./reducedRun.ts";
import { shapeChart } from "../../src/report/figures/shapeChart.ts";
import { writtenShapes } from "./shapeRun.ts";
import { driveChain } from "../../src/report/figures/driveChain.ts";
import { jetChart } from "../../src/report/figures/jetChart.ts";
import { mapChart } from "../../src/report/figures/mapChart.ts";
import { gasNamed } from "../../src/physics/gases.ts";
import type { JetInput } from "../../src/sheet/jetResult.ts";
import { jetFigures } from "../../src/sheet/jetSheet.ts";
import { designMap, designMapSteps } from "../../src/studies/maps.ts";
import { fullCheck } from "../../src/studies/fullCheck.ts";
import { exampleDesign } from "../examples/support.ts";

export const ORIGIN =
  "reedlift 0.1.0; argon-jet.reed.yaml sha256 3f9a21c0; reedlift check argon-jet.reed.yaml --svg .";

const from = { origin: ORIGIN };

/** Argon, 1 bar through 0.2 mm, steady into 10 Pa: every mark of the jet's picture. */
const argonJet: JetInput = {
  gas: gasNamed("Ar"),
  sourcePressure: 1e5,
  sourceTemperature: 295,
  orificeDiameter: 0.2e-3,
  nozzle: { form: "sonic" },
  backgroundPressure: 10,
  chamberLength: null,
  chamberVolume: 0.06,
  pulse: null,
  skimmerDistance: 10e-3,
  skimmerDiameter: 1e-3,
  interactionDistance: 0.3,
};

/** Every stored picture by its name. */
export function pictures(): Record<string, Figure | null> {
  const valve = [valveDesign(), valveResult()] as const;
  const unmet = [valveDesign(), unmetResult()] as const;
  const strip = [stripDesign(), stripResult()] as const;
  const inlet = [inletDesign(), valveResult(inletDesign())] as const;
  const snap = [snapDesign(), valveResult(snapDesign())] as const;
  const stack = [stackDesign(), stackResult()] as const;
  const { design, result } = unwired();
  const ring = valveDesign();
  ring.seat = { ...ring.seat!, form: "o-ring", diameter: 1.2e-3, land: 0.25e-3, side: "above" };
  const first = exampleDesign("first-valve");
  const cells = { columns: 33, rows: 25 };
  const pulse = writtenPulse();
  const travel = writtenTravel();
  const unfinished = designMapSteps(first, "length-voltage", cells);
  for (let i = 0; i < 70; i++) unfinished.next();
  return {
    "side-view-closed": sideView(...valve, from),
    "side-view-open": sideView(...valve, { ...from, state: "open" }),
    "side-view-pressure-opens": sideView(...inlet, from),
    "side-view-o-ring-above": sideView(ring, valveResult(ring), { ...from, state: "open" }),
    "side-view-strip": sideView(...strip, from),
    "side-view-long-stack": sideView(...stack, from),
    "side-view-no-wiring": sideView(design, result, from),
    section: sectionView(...valve, from),
    "section-stack": sectionView(...stack, from),
    "drive-chain": driveChain(first, fullCheck(first, { window: false }).result, from),
    "section-no-wiring": sectionView(design, result, from),
    window: windowChart(...valve, from),
    "window-not-met": windowChart(...unmet, from),
    "window-strip": windowChart(...strip, from),
    "load-lines": loadLines(...valve, from),
    "load-lines-snap": loadLines(...snap, from),
    "lock-out": lockoutBand(...valve, from),
    "map-voltage": mapChart(first, designMap(first, "length-voltage", cells), from),
    "map-stand-off": mapChart(first, designMap(first, "length-stand-off", cells), from),
    jet: jetChart(argonJet, jetFigures(argonJet), from),
    "pulse-traces": pulseTraces(pulse.design, pulse.run, from),
    "pulse-main": pulseMain(pulse.design, pulse.run, { ...from, cursor: 150e-6 }),
    "pulse-motion": pulseMotion(pulse.design, pulse.run, from),
    "pulse-audit": pulseAudit(pulse.design, pulse.run, from),
    "pulse-travel": pulseTraces(travel.design, travel.run, from),
    "pulse-travel-motion": pulseMotion(travel.design, travel.run, from),
    rates: rateChart(first, writtenRates(), from),
    "rate-map": rateMap(first, writtenRatesMap(), from),
    "rate-map-unfinished": rateMap(first, writtenRatesMap(COARSE_CELLS + 40), from),
    shapes: shapeChart(first, writtenShapes(), from),
    "reduce-fit": reduceFit(first, writtenFit(), "fit-1", from),
    "reduce-fit-failed": reduceFit(
      first,
      { ...writtenFit(), status: "not converged", ended: "100 iterations did not settle it" },
      "fit-1",
      from,
    ),
    "reduce-trace": reduceTrace(WRITTEN_KIND, writtenData(), writtenReduction().marks, "trace", from),
    "reduce-comparison": reduceComparison(first, writtenComparisons(), from),
    "map-unfinished": mapChart(first, unfinished.next().value, from),
  };
}
