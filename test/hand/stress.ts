import { b, Ec, s0, tc } from "./inputs.ts";
import { BALANCE, delta, hO } from "./seat.ts";
import { d31, EA, EI, Es, h, z1, z3, zn } from "./section.ts";
import { Ez1l, Ez3h, k, kh, kl, wh, wl, xp } from "./strip.ts";
import { heading, type Line, line, of } from "./working.ts";

heading(
  "10 Tension at the clamp line",
  "T = E[S_0 − κ(z_m − z_n) − d31 p E_z] − E* κ (z − z_m), S_0 = ΣE b t d31 p E_z/EA, κ the local curvature at the clamp.",
);
const STRESS = "layered beam: stress from strain, field and redistributed field";
const kch = line(
  "κ_c,high",
  "curvature at the clamp, open: free curvature less the strip's force on the pad",
  "1/m",
  BALANCE,
  of`${kh} - ${k} * (${wh} - ${s0} - ${hO}) * ${xp} / ${EI}`,
);
const kcl = line(
  "κ_c,low",
  "curvature at the clamp, closed",
  "1/m",
  BALANCE,
  of`${kl} + ${k} * (${s0} - ${delta} - ${wl}) * ${xp} / ${EI}`,
);
const S0h = line(
  "S_0,high",
  "strain of the neutral plane",
  "",
  STRESS,
  of`${Ec} * ${b} * ${tc} * ${d31} * ${Ez3h} / ${EA}`,
);
const S0l = line(
  "S_0,low",
  "strain of the neutral plane",
  "",
  STRESS,
  of`${Ec} * ${b} * ${tc} * ${d31} * ${Ez1l} / ${EA}`,
);
const lower = (name: string, S0: Line, kc: Line, field: Line | 0) => [
  line(
    `T_1,bottom,${name}`,
    "lower face of layer 1",
    "Pa",
    STRESS,
    of`${Ec} * (${S0} - ${kc} * (${z1} - ${zn}) - ${d31} * ${field}) - ${Es} * ${kc} * -${z1}`,
  ),
  line(
    `T_1,top,${name}`,
    "upper face of layer 1",
    "Pa",
    STRESS,
    of`${Ec} * (${S0} - ${kc} * (${z1} - ${zn}) - ${d31} * ${field}) - ${Es} * ${kc} * (${tc} - ${z1})`,
  ),
];
const upper = (name: string, S0: Line, kc: Line, field: Line | 0) => [
  line(
    `T_3,bottom,${name}`,
    "lower face of layer 3",
    "Pa",
    STRESS,
    of`${Ec} * (${S0} - ${kc} * (${z3} - ${zn}) - ${d31} * ${field}) - ${Es} * ${kc} * (${h} - ${tc} - ${z3})`,
  ),
  line(
    `T_3,top,${name}`,
    "upper face of layer 3",
    "Pa",
    STRESS,
    of`${Ec} * (${S0} - ${kc} * (${z3} - ${zn}) - ${d31} * ${field}) - ${Es} * ${kc} * (${h} - ${z3})`,
  ),
];
const [a1, a2] = lower("high", S0h, kch, 0) as [Line, Line];
const [a3, a4] = upper("high", S0h, kch, Ez3h) as [Line, Line];
const [b1, b2] = lower("low", S0l, kcl, Ez1l) as [Line, Line];
const [b3, b4] = upper("low", S0l, kcl, 0) as [Line, Line];
line(
  "T_max",
  "largest tension in the ceramic",
  "Pa",
  "largest of the eight",
  of`max(${a1}, ${a2}, ${a3}, ${a4}, ${b1}, ${b2}, ${b3}, ${b4})`,
  "strip.clamp_line_stress_Pa",
);
