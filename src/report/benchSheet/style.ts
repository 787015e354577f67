/** Styles of the bench sheet: light, paper, A4 or Letter as the printer has it. */
export const STYLE = `
@page { margin: 14mm 15mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 8mm 0; width: 180mm; max-width: 100%; background: #fff; color: #22262B;
  font: 9.4pt/1.38 "IBM Plex Sans", "Liberation Sans", "DejaVu Sans", sans-serif; font-variant-numeric: tabular-nums; }
h1 { font-size: 15pt; font-weight: 600; margin: 0; }
h2 { font-size: 10.6pt; font-weight: 600; margin: 0 0 1.2mm; }
p { margin: 0 0 1.4mm; }
.origin { color: #5A6068; font-size: 7.6pt; overflow-wrap: anywhere; }
.how { color: #5A6068; margin-top: 2.5mm; }
.polarity td:nth-child(3), .polarity td:nth-child(4) { white-space: nowrap; }
.polarity th:first-child { width: 62mm; }
section { margin-top: 5mm; padding-top: 2mm; border-top: 0.3mm solid #22262B; }
h2, thead, tr, figure, pre, .cautions li { break-inside: avoid; }
h2, h2 + p { break-after: avoid; }
.cautions { border: 0.5mm solid #22262B; padding: 2mm 3mm; }
.cautions ul { margin: 0; padding-left: 4mm; columns: 1; }
.cautions li { margin-bottom: 0.8mm; }
table { width: 100%; border-collapse: collapse; margin: 1mm 0 1.6mm; }
th, td { text-align: left; vertical-align: bottom; padding: 0.9mm 2mm 0.7mm 0; font-weight: 400; border-bottom: 0.15mm solid #C6C3BA; }
thead th { color: #5A6068; font-size: 8pt; border-bottom: 0.25mm solid #22262B; }
tbody tr { height: 6.4mm; }
table:not(.polarity) th:first-child { width: 72mm; }
table:not(.polarity) td:nth-child(2) { width: 46mm; }
td.blank { border-bottom: 0.25mm solid #22262B; border-left: 2mm solid #fff; min-width: 24mm; }
td.u { width: 18mm; min-width: 0; }
pre { margin: 0.8mm 0; padding: 1mm 2mm; background: #F4F2EC; font: 7.8pt/1.35 "DejaVu Sans Mono", monospace; white-space: pre-wrap; overflow-wrap: anywhere; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
code { font: 0.92em "DejaVu Sans Mono", monospace; }
figure { margin: 2mm 0; }
figure svg { display: block; max-width: none; font-family: inherit; }
figcaption { color: #5A6068; font-size: 8pt; }
.fields { display: flex; gap: 3mm; margin: 3mm 0; color: #5A6068; font-size: 8pt; }
.fields span { flex: 1; display: flex; align-items: flex-end; gap: 1mm; white-space: nowrap; }
.fields i { flex: 1; height: 6mm; border-bottom: 0.25mm solid #22262B; }
.lines i { display: block; height: 7mm; border-bottom: 0.2mm solid #C6C3BA; }
@media screen { html { background: #F4F2EC; } body { padding: 10mm 15mm; width: 210mm; } }
@media print { body { padding: 0; width: auto; } }
`;
