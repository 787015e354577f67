import { CURRENT } from "./current/current.ts";
import { CUT } from "./cut/cut.ts";
import { FILL } from "./fill/kind.ts";
import { FORCE } from "./force/kind.ts";
import { GAUGE } from "./gauge/kind.ts";
import { IMPEDANCE } from "./impedance/impedance.ts";
import type { Kind } from "./kind.ts";
import { LEAK } from "./leak/kind.ts";
import { LENGTHS } from "./lengths/kind.ts";
import { LEVER } from "./lever/kind.ts";
import { OPENING } from "./opening/kind.ts";
import { POSITION } from "./position/kind.ts";
import { RAIL } from "./rail/rail.ts";
import { RESPONSE } from "./response/kind.ts";
import { TRACE } from "./trace/kind.ts";

/** Every kind of measurement, in the order in which a bench is worked through. */
export const KINDS: readonly Kind[] = [
  LEVER,
  POSITION,
  TRACE,
  RESPONSE,
  CUT,
  IMPEDANCE,
  LENGTHS,
  FORCE,
  CURRENT,
  RAIL,
  OPENING,
  LEAK,
  FILL,
  GAUGE,
];

export const kindNamed = (name: string): Kind | undefined =>
  KINDS.find((kind) => kind.name === name);
