/** A small complete valve; every line is one that a test may change. */
export const VALVE = `reedlift: 1
name: test valve
need:
  gas: Ar
  plenum_pressure: 2 bar
  orifice_diameter: 0.12 mm
  rate: 10 Hz
strip:
  width: 5 mm
  free_length: 9.0(1) mm
  layers:
    - {material: soft ceramic, thickness: 0.20(1) mm, poling: up, bottom: lower face, top: vane}
    - {material: brass, thickness: 0.10 mm, conductor: vane}
    - {material: soft ceramic, thickness: 0.20(1) mm, poling: up, bottom: vane, top: upper face}
clamp:
  length: 5 mm
pad:
  material: FKM 75 Shore A
  thickness: 0.5 mm
  from_tip: 0.5 mm
  mass: 4 mg
seat:
  form: land
  diameter: 0.30 mm
  arrangement: pressure closes
  side: below
  stand_off: -5 µm
wiring:
  lower face: ground
  vane: switched
  upper face: bias
rails:
  bias: {voltage: -150 V, sinks: no, storage: 2.2 µF}
switch:
  high: ground
  low: bias
  series_resistor: 470 Ω
`;

/** The smallest file: one metal strip in a clamp. */
export const PLAIN_STRIP = `reedlift: 1
strip:
  width: 5 mm
  free_length: 9 mm
  layers:
    - {material: brass, thickness: 0.1 mm}
clamp:
  length: 5 mm
`;

/** `text` with one piece replaced; throws when the piece is not there, so that no test passes idly. */
export function changed(text: string, from: string, to: string): string {
  if (!text.includes(from)) throw new Error(`the text has no "${from}"`);
  return text.replace(from, () => to);
}
