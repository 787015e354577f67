/** Wiring of the strip: potentials, states and judgement. */

export {
  judgeWiring,
  type WiringJudgement,
} from "./wiringJudgement.ts";
export {
  electrodeCapacitance,
  fieldAlongPoling,
  layerField,
  piezoMoment,
  solvePotentials,
  type WiringModel,
} from "./wiringModel.ts";
export { type DriveState, driveStates } from "./wiringStates.ts";
