/** Wiring of the strip: potentials, states and judgement. */

export {
  judgeWiring,
  type PolingFlag,
  type WiringJudgement,
  type WiringReason,
} from "./wiringJudgement.ts";
export {
  electrodeCapacitance,
  fieldAlongPoling,
  layerField,
  type NodeCondition,
  nodeVoltage,
  type Potentials,
  piezoMoment,
  railIndex,
  solvePotentials,
  type Terminal,
  type WiringLayer,
  type WiringModel,
} from "./wiringModel.ts";
export { closedStateOf, type DriveState, driveStates, momentScale } from "./wiringStates.ts";
