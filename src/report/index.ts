export { type CsvColumn, csvText } from "./figures/csv.ts";
export type { Figure, FigureOptions } from "./figures/figure.ts";
export { loadLines } from "./figures/loadLines.ts";
export { lockoutBand } from "./figures/lockoutBand.ts";
export { pulseAudit } from "./figures/pulseAudit.ts";
export { pulseMotion } from "./figures/pulseMotion.ts";
export { type RunSeries, type SeriesColumn, seriesTable } from "./figures/pulseSeries.ts";
export { PULSE_PICTURES, pulsePictures } from "./figures/pulseSet.ts";
export { type PulseTracesOptions, pulseMain, pulseTraces } from "./figures/pulseTraces.ts";
export { sectionView } from "./figures/sectionView.ts";
export { figuresOf } from "./figures/set.ts";
export { type SideViewOptions, sideView } from "./figures/sideView.ts";
export { windowChart } from "./figures/windowChart.ts";
export {
  type FigureUnit,
  kindOfUnit,
  machineUnit,
  printFigure,
  printQuantity,
  unitOfFigure,
} from "./figureUnits.ts";
export { type PathPrinter, pathPrinters } from "./pathUnits.ts";
export { type BudgetTextOptions, budgetText } from "./text/budgetText.ts";
export { GROUP_IDS, type GroupId } from "./text/groups.ts";
export { type PulseTextOptions, pulseText } from "./text/pulseText.ts";
export { type SheetTextOptions, sheetText } from "./text/sheetText.ts";
export { type Palette, PLAIN, toAscii } from "./text/style.ts";
