import {
  type BeamSpec,
  buildBeam,
  clampCurvature,
  curvatureDeflection,
  curvatureSlope,
  momentDeflection,
  momentSlope,
  slopeCompliance,
  staticCompliance,
} from "../../src/physics/beam.ts";
import { assembleMass } from "../../src/physics/beamMass.ts";
import { beamMesh } from "../../src/physics/beamMesh.ts";
import { shapeValues, slopeValues } from "../../src/physics/beamShapes.ts";
import {
  frequenciesOpenCircuit,
  frequenciesWithSpring,
  hertzOf,
  modes,
} from "../../src/physics/modes.ts";
import {
  axialStrain,
  couplingSquared,
  freeCapacitance,
  freeCurvature,
  largestSurfaceTension,
  layerStress,
  type SectionLayer,
  sectionOf,
  stressInLayer,
} from "../../src/physics/section.ts";
import { widthFactors } from "../../src/physics/width.ts";
import { declare, type InputMaker } from "./declare.ts";

function layers({ q }: InputMaker): SectionLayer[] {
  const ceramic = {
    width: q(5, "mm"),
    youngModulus: q(62, "GPa"),
    poissonRatio: 0.31,
    density: q(7.8, "g/cm³"),
    thermalExpansion: q(6, "ppm/K"),
    d31: q(-210, "pm/V"),
    epsilon33T: q(30, "nF/m"),
    electroded: true,
  };
  const metal = {
    thickness: q(0.1, "mm"),
    width: q(5.5, "mm"),
    youngModulus: q(105, "GPa"),
    poissonRatio: 0.34,
    density: q(8.5, "g/cm³"),
    thermalExpansion: q(19, "ppm/K"),
    d31: q(0, "m/V"),
    epsilon33T: q(0, "F/m"),
    poling: 0 as const,
    electroded: false,
  };
  return [
    { ...ceramic, thickness: q(0.2, "mm"), poling: 1 },
    metal,
    { ...ceramic, thickness: q(0.23, "mm"), poling: -1 },
  ];
}

function spec(input: InputMaker): BeamSpec {
  const { q } = input;
  const segment = {
    length: q(8, "mm"),
    bendingStiffness: q(3500, "N·mm²"),
    massPerLength: q(20, "g/m"),
    rotaryInertiaPerLength: q(0.6, "mg·mm"),
    shearFlexibility: q(0.04, "1/kN"),
    active: true,
  };
  return {
    segments: [
      segment,
      { ...segment, length: q(3, "mm"), bendingStiffness: q(900, "N·mm²"), active: false },
    ],
    clamp: { rotationalStiffness: q(40, "N·m/rad"), translationalStiffness: q(900, "N/mm") },
    masses: [{ position: q(9, "mm"), mass: q(4, "mg"), rotaryInertia: q(3, "mg·mm²") }],
    stations: [q(8.5, "mm")],
  };
}

const volts = ({ column }: InputMaker) => column([120, -75], "V");

const LAYER = {
  thickness: "m",
  width: "m",
  youngModulus: "Pa",
  poissonRatio: "",
  density: "kg/m³",
  thermalExpansion: "1/K",
  d31: "m/V",
  epsilon33T: "F/m",
  poling: "",
} as const;

const SECTION = {
  width: "m",
  thickness: "m",
  neutralPlane: "m",
  axialStiffness: "N",
  bendingStiffness: "N·m²",
  massPerLength: "kg/m",
  rotaryInertiaPerLength: "kg·m",
  shearFlexibility: "1/N",
  poissonRatio: "",
  layers: { each: LAYER },
  midPlanes: "m",
  extensionModulus: "Pa",
  ownModulus: "Pa",
  active: "",
  theta: "N·m/V",
  axialCoupling: "N/V",
  cClamped: "F/m",
  cAxial: "F/m",
  cFree: "F/m",
  thermalCurvature: "1/(m·K)",
} as const;

export const STRIP = [
  declare({ of: [sectionOf], call: (i) => sectionOf(layers(i)), outputs: SECTION }),
  declare({
    of: [sectionOf],
    name: "uniform field",
    call: (i) => sectionOf(layers(i), { field: "uniform" }),
    outputs: SECTION,
  }),
  declare({
    of: [couplingSquared],
    call: (i) => layers(i).map((layer) => couplingSquared(layer)),
    outputs: "",
  }),
  declare({
    of: [freeCurvature],
    call: (i) => freeCurvature(sectionOf(layers(i)), volts(i)),
    outputs: "1/m",
  }),
  declare({
    of: [axialStrain],
    call: (i) => axialStrain(sectionOf(layers(i)), volts(i)),
    outputs: "",
  }),
  declare({
    of: [layerStress, stressInLayer],
    call: (i) => [
      layerStress(sectionOf(layers(i)), volts(i), i.q(3, "1/m"), i.q(0.05, "mm")),
      stressInLayer(sectionOf(layers(i)), 2, volts(i), i.q(3, "1/m"), i.q(0.45, "mm")),
    ],
    outputs: "Pa",
  }),
  declare({
    of: [largestSurfaceTension],
    call: (i) => largestSurfaceTension(sectionOf(layers(i)), volts(i), i.q(3, "1/m")),
    outputs: "Pa",
  }),
  declare({
    of: [freeCapacitance],
    call: (i) => freeCapacitance(sectionOf(layers(i)), i.q(9, "mm")),
    outputs: "F",
  }),
  declare({
    of: [widthFactors],
    call: ({ q }) => widthFactors(q(5, "mm") / q(9, "mm"), 0.31, 0.7),
    outputs: { deflection: "", frequency: "", compliance: "" },
  }),
  declare({
    of: [beamMesh],
    call: (i) => beamMesh(spec(i)).nodes,
    outputs: "m",
  }),
  declare({
    of: [staticCompliance, buildBeam],
    call: (i) => staticCompliance(buildBeam(spec(i)), i.q(8.5, "mm"), i.q(11, "mm")),
    outputs: "m/N",
  }),
  declare({
    of: [slopeCompliance],
    call: (i) => slopeCompliance(buildBeam(spec(i)), i.q(8.5, "mm"), i.q(11, "mm")),
    outputs: "rad/N",
  }),
  declare({
    of: [momentDeflection],
    call: (i) => momentDeflection(buildBeam(spec(i)), i.q(11, "mm")),
    outputs: "m/(N·m)",
  }),
  declare({
    of: [momentSlope],
    call: (i) => momentSlope(buildBeam(spec(i)), i.q(11, "mm")),
    outputs: "rad/(N·m)",
  }),
  declare({
    of: [curvatureDeflection],
    call: (i) => curvatureDeflection(buildBeam(spec(i)), i.q(11, "mm")),
    outputs: "m²",
  }),
  declare({
    of: [curvatureSlope],
    call: (i) => curvatureSlope(buildBeam(spec(i)), i.q(11, "mm")),
    outputs: "m",
  }),
  declare({
    of: [clampCurvature],
    call: (i) =>
      clampCurvature(buildBeam(spec(i)), { force: i.q(0.2, "N"), xForce: i.q(8.5, "mm") }),
    outputs: "1/m",
  }),
  declare({
    // The unknowns have units of their own; a kinetic and a strain energy of one motion have none to spare:
    // u = K^-1 N(x) F is the static shape of a force, uᵀ M u its mass times deflection squared.
    of: [shapeValues, slopeValues, assembleMass],
    call: (i) => {
      const beam = buildBeam(spec(i));
      const n = beam.unknowns;
      const [x, force] = [i.q(8.5, "mm"), i.q(0.2, "N")];
      const [shape, slope] = [new Float64Array(n), new Float64Array(n)];
      shapeValues(beam, x, shape);
      slopeValues(beam, x, slope);
      const u = shape.map((s, j) => (s * force) / beam.stiffness[j]!);
      const form = (matrix: Float64Array) =>
        u.reduce(
          (sum, a, j) => sum + a * u.reduce((row, b, k) => row + matrix[j * n + k]! * b, 0),
          0,
        );
      const matrices = assembleMass(beam, spec(i).masses);
      return {
        deflection: u.reduce((sum, a, j) => sum + a * shape[j]!, 0),
        rotation: u.reduce((sum, a, j) => sum + a * slope[j]!, 0),
        kinetic: form(matrices.mass),
        squared: form(matrices.overlap),
      };
    },
    outputs: { deflection: "m", rotation: "", kinetic: "kg·m²", squared: "m³" },
  }),
  ...([false, true] as const).map((thin) =>
    declare({
      of: [modes],
      name: thin ? "thin" : "with shear",
      call: (i) => {
        const basis = modes(buildBeam({ ...spec(i), thin }), 4);
        // A mode's sign is free: squares and products do not have one.
        const [shape, slope] = [basis.shapeAt(i.q(8.5, "mm")), basis.slopeAt(i.q(8.5, "mm"))];
        return {
          omega: basis.omega,
          shapeSquared: shape.map((s) => s * s),
          shapeTimesSlope: shape.map((s, k) => s * slope[k]!),
          jumpTimesShape: shape.map((s, k) => s * basis.slopeJump[k]!),
          shapeSquareIntegral: basis.shapeSquareIntegral,
        };
      },
      outputs: {
        omega: "rad/s",
        shapeSquared: "1/kg",
        shapeTimesSlope: "1/(kg·m)",
        jumpTimesShape: "1/(kg·m)",
        shapeSquareIntegral: "m/kg",
      },
      tolerance: 1e-8,
    }),
  ),
  declare({
    of: [frequenciesWithSpring],
    call: (i) =>
      frequenciesWithSpring(modes(buildBeam(spec(i)), 4), i.q(8.5, "mm"), i.q(20, "N/mm")),
    outputs: "Hz",
    tolerance: 1e-8,
  }),
  declare({
    of: [frequenciesOpenCircuit],
    call: (i) =>
      frequenciesOpenCircuit(modes(buildBeam(spec(i)), 4), i.q(14, "μN·m/V"), i.q(12, "nF")),
    outputs: "Hz",
    tolerance: 1e-8,
  }),
  declare({ of: [hertzOf], call: ({ q }) => hertzOf(q(3000, "rad/s")), outputs: "Hz" }),
];
