/** The physics alone, without design files: plain functions on plain SI records. */
export { buildBeam, clampCurvature, momentDeflection, staticCompliance } from "./beam.ts";
export { lockout, paschenMinimum, paschenVoltage } from "./breakdown.ts";
export { plenumDroop, pulseTrain, stuckOpen } from "./chamber.ts";
export { chokedMassFlux, middlePressure, twoRestrictionFlow } from "./flow.ts";
export { gasNamed, mixGases } from "./gases.ts";
export { loadedModes } from "./gasload.ts";
export { frequenciesOpenCircuit, frequenciesWithSpring, modes } from "./modes.ts";
export { padLaw } from "./pad.ts";
export { gasForce, seatEquilibria, settle } from "./seat.ts";
export { freeCurvature, sectionOf } from "./section.ts";
export { widthFactors } from "./width.ts";
export { driveStates, judgeWiring, solvePotentials } from "./wiring.ts";
