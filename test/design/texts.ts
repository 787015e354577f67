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

/** Every section of the file, every key that does not exclude another one. */
export const FULL = `reedlift: 1
name: full
notes: every key
need:
  gas: {Ar: 90 %, glub: 10 %}
  plenum_pressure: 2.0(1) bar
  plenum_temperature: 21 °C
  orifice_diameter: 0.12 mm
  gas_pulse: 200 µs
  rate: 10 Hz
  chamber_pressure_max: 1e-4 mbar
  gas_load_max: 50 sccm
  open_area: 0.9
  swing_min: 10 µm
  resonance_min: 100 Hz
  hours_per_day: 6 h
  nozzle: cone
  cone_half_angle: 15 °
  skimmer_distance: 25 mm
  skimmer_diameter: 1 mm
  interaction_distance: 120 mm
  standard_state: {temperature: 0 °C, pressure: 1.01325 bar}
strip:
  width: 5 mm
  width_at_tip: 4.0(1) mm
  free_length: 9.0(1) mm
  total_length: 20 mm
  polarity_mark: unmarked
  reference_temperature: 24 °C
  structural_q: 40
  layers:
    - {material: soft ceramic, thickness: 0.20(1) mm, width: 4.9 mm, poling: up, bottom: lower face, top: vane}
    - {material: shim metal, thickness: 0.10 mm, conductor: vane}
    - {material: own ceramic, thickness: 0.20(1) mm, poling: up, bottom: vane, top: upper face}
  segments:
    - {measured_from: tip, from: 0.2 mm, to: 1.5(1) mm, bare: [upper face]}
    - {measured_from: clamp, from: 0.1 mm, to: 0.5 mm, removed: [3]}
  extension: {material: carbon fibre, thickness: 0.3 mm, width: 3 mm, length: 2 mm}
clamp: {length: 5 mm, rotational_stiffness: 2 N·m/rad, translational_stiffness: 500 N/mm}
masses:
  - {name: mirror, mass: 0.25 mg, position: 6 mm, rotary_inertia: 0.001 g·mm2}
  - {name: glue, mass: 0.1 mg, from_tip: 1 mm}
pad: {material: own rubber, thickness: 0.5 mm, from_tip: 0.5 mm, mass: 4 mg, law: linear, stiffness: 20 N/mm, cord_diameter: 1 mm, stick_force: 1 mN, restitution: 0.5}
seat:
  form: land
  diameter: 0.30 mm
  land: 0.04 mm
  arrangement: pressure closes
  side: below
  stand_off: -5 µm
  thread_pitch: 0.2 mm
  body_deflection: 0.01 µm/bar
  discharge_curtain: 0.75
  discharge_orifice: 0.85
plenum: {volume: 20 cm3, feed_conductance: 0.05 l/s}
chamber:
  volume: 40 l
  pumping_speed: 600 l/s
  pumping_speed_gas: N2
  base_pressure: 2e-7 mbar
  wall_temperature: 23 °C
  relief_pressure: 1.2 bar
  exhaust_dilution: 20 l/min
wiring: {lower face: ground, vane: switched, upper face: bias}
rails:
  bias:
    voltage: -150 V
    current_limit: 5 mA
    output_resistance: 10 kΩ
    sinks: yes
    storage: 2.2 µF
    storage_esr: 0.2 Ω
    leakage_resistance: 10 GΩ
    bleeder: 1 MΩ
switch:
  high: ground
  low: bias
  idle: low
  on_resistance: 12 Ω
  series_resistor: 470 Ω
  resistor_pulse_energy_max: 5 mJ
  current_max: 2 A
  output_capacitance: 150 pF
  dead_time: 400 ns
  delay: 150 ns
  series_resistor_high: 1 kΩ
  series_resistor_low: 220 Ω

pulse: {gate: 120 µs, duration: 5 ms, step: 0.5 µs}
cable: {length: 2 m, capacitance_per_length: 90 pF/m, inductance_per_length: 300 nH/m}
surroundings:
  wall_distance: 3 mm
  conductor_gap_min: 0.3 mm
  conductor_gap_max: 8 mm
  ambient_temperature: 25 °C
  wetted: [copper]
limits:
  field_with_poling_max: 1.4 kV/mm
  field_with_poling_caution: 0.9 kV/mm
  field_against_poling_max: 0.15 kV/mm
  coercive_fraction_max: 0.3
  curie_fraction_max: 0.4
  clamp_stress_max: 25 MPa
  crack_open_ratio_min: 2
  opening_voltage_fraction_max: 0.7
  seal_stress_min: 0.6 MPa
  seal_stress_per_pressure: 1.2
  ring_downs_per_period_min: 4
  rate_over_resonance_max: 0.2
  rail_droop_max: 3 %
  plenum_droop_max: 4 %
  stored_voltage_touch: 50 V
  bleed_time_max: 4 s
  lowest_explosive_fraction_max: 20 %
model:
  width: narrow
  width_correction: 0.5
  field: uniform
  beam: thin
  large_signal_capacitance_factor: 1.7
  large_signal_tan_delta: 0.12
  d31_basis: catalogue
  ceramic: linear
  secondary_emission_min: 0.02
  secondary_emission_max: 0.2
  breakdown_factor: 0.7
catalogue: &figures
  free_length: 20 mm
  voltage: 180 V
  deflection_counted: total travel
  deflection: 180(10) µm
  blocking_force: 0.45(4) N
  capacitance: 18(1) nF
  resonance: 500(10) Hz
measured: {free_length: 9.1(1) mm, voltage: 150 V, deflection_counted: one side, deflection: 25(1) µm, blocking_force: 0.3 N, capacitance: 9 nF, resonance: 2.7 kHz}
materials:
  soft ceramic: {d31: -250(15) pm/V, source: measured on the batch}
  shim metal: {like: brass, density: 8400 kg/m3, thermal_conductivity: 100 W/(m·K), thermal_expansion: 20 ppm/K}
  own ceramic:
    kind: ceramic
    young_modulus: 62(3) GPa
    poisson_ratio: 0.31
    density: 7800 kg/m3
    d31: -250 pm/V
    relative_permittivity: 3000
    thermal_expansion: 4 ppm/K
    thermal_conductivity: 1.2 W/(m·K)
    curie_temperature: 200 °C
    coercive_field: 0.8 kV/mm
    tan_delta: 0.02
    rayleigh_ratio: 0.67
    d31_temperature: 0.3 %/K
    permittivity_temperature: 0.5 %/K
  own rubber:
    like: FKM
    young_modulus: 6 MPa
    dynamic_factor: 2.5
    service_temperature_max: 180 °C
    vent_rate_max: 2 bar/min
gases:
  glub:
    molar_mass: 50 g/mol
    heat_capacity_ratio: 1.3
    viscosity: 15 µPa·s
    viscosity_exponent: 0.8
    second_virial: -50 cm3/mol
    lower_explosive_limit: 4 %
    oxidising: no
    breathable: no
`;
