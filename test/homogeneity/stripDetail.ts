import { type BeamSpec, buildBeam, momentDeflection } from "../../src/physics/beam.ts";
import {
  assembleDetail,
  foundationWaveNumber,
  partedSegments,
  widthsOf,
} from "../../src/physics/beamDetail.ts";
import {
  curvatureUnder,
  deflectionUnder,
  functionalProduct,
  momentFunctional,
  shapeOf,
  slopeUnder,
} from "../../src/physics/beamMoments.ts";
import {
  curvatureValues,
  polynomialShapes,
  slopesInPolynomials,
} from "../../src/physics/beamShapes.ts";
import { modes } from "../../src/physics/modes.ts";
import { declare, type InputMaker } from "./declare.ts";

/** On a foundation in the clamp, tapered, with a share of the moment in each piece. */
function spec({ q }: InputMaker): BeamSpec {
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
      { ...segment, length: q(4, "mm"), foundation: q(700, "MPa"), shearFlexibility: q(0, "1/kN") },
      { ...segment, taper: { start: 1, end: 0.25 } },
      {
        ...segment,
        length: q(3, "mm"),
        bendingStiffness: q(900, "N·mm²"),
        share: 0.4,
        taper: { start: 0.25, end: 0.2 },
      },
    ],
    inside: q(4, "mm"),
    clamp: { rotationalStiffness: null, translationalStiffness: null },
    masses: [{ position: q(9, "mm"), mass: q(4, "mg"), rotaryInertia: q(3, "mg·mm²") }],
    stations: [q(8.5, "mm")],
  };
}

const moments = ({ column }: InputMaker) => column([0, 14, 9], "μN·m/V");

export const STRIP_DETAIL = [
  declare({
    of: [foundationWaveNumber],
    call: (i) => foundationWaveNumber(spec(i).segments[0]!),
    outputs: "1/m",
  }),
  declare({
    of: [partedSegments],
    call: (i) => partedSegments(spec(i)).segments.map(({ length }) => length),
    outputs: "m",
  }),
  declare({
    of: [widthsOf],
    call: (i) => {
      const beam = buildBeam(spec(i));
      return Array.from({ length: beam.elements }, (_, e) => widthsOf(beam, e).mean);
    },
    outputs: "",
  }),
  declare({
    of: [momentFunctional, deflectionUnder, slopeUnder, curvatureUnder, curvatureValues],
    call: (i) => {
      const beam = buildBeam(spec(i));
      const work = momentFunctional(beam, moments(i));
      const x = i.q(8.5, "mm");
      return {
        deflection: deflectionUnder(beam, work, x),
        slope: slopeUnder(beam, work, x),
        curvature: curvatureUnder(beam, work, x, true),
      };
    },
    outputs: { deflection: "m/V", slope: "1/V", curvature: "1/(m·V)" },
  }),
  declare({
    of: [functionalProduct, shapeOf],
    call: (i) => {
      const beam = buildBeam(spec(i));
      const [work, force] = [momentFunctional(beam, moments(i)), shapeOf(beam, i.q(8.5, "mm"))];
      return {
        charge: functionalProduct(beam, work, force),
        motional: functionalProduct(beam, work, work),
        compliance: functionalProduct(beam, force, force),
      };
    },
    outputs: { charge: "C/N", motional: "F", compliance: "m/N" },
  }),
  declare({
    of: [assembleDetail, polynomialShapes, slopesInPolynomials],
    call: (i) => {
      const basis = modes(buildBeam(spec(i)), 4);
      const shape = basis.shapeAt(i.q(8.5, "mm"));
      return {
        perMoment: momentDeflection(buildBeam(spec(i)), i.q(11, "mm")),
        omega: basis.omega,
        shapeSquared: shape.map((s) => s * s),
        jumpTimesShape: shape.map((s, k) => s * basis.slopeJump[k]!),
        shapeSquareIntegral: basis.shapeSquareIntegral,
      };
    },
    outputs: {
      perMoment: "m/(N·m)",
      omega: "rad/s",
      shapeSquared: "1/kg",
      jumpTimesShape: "1/(kg·m)",
      shapeSquareIntegral: "m/kg",
    },
    tolerance: 1e-8,
  }),
];
