/**
 * Unit aliases: they document a signature, the compiler does not check them.
 * Every number of `numerics/`, `physics/`, `design/` and `sheet/` is in coherent SI;
 * a number that is not carries its unit in its name.
 */
export type Metre = number;
export type SquareMetre = number;
export type CubicMetre = number;
export type PerMetre = number;
export type Second = number;
export type Hertz = number;
export type RadianPerSecond = number;
export type Radian = number;
export type Kilogram = number;
export type KilogramPerMetre = number;
export type KilogramPerCubicMetre = number;
export type KilogramPerSecond = number;
export type KilogramPerMole = number;
export type KilogramSquareMetre = number;
export type Newton = number;
export type NewtonPerMetre = number;
export type NewtonMetre = number;
export type NewtonMetrePerRadian = number;
export type NewtonMetrePerVolt = number;
export type NewtonSquareMetre = number;
export type Pascal = number;
export type PascalSecond = number;
export type PascalCubicMetrePerSecond = number;
export type CubicMetrePerSecond = number;
export type CubicMetrePerMole = number;
export type Mole = number;
export type Joule = number;
export type Watt = number;
export type WattPerMetreKelvin = number;
export type Kelvin = number;
export type PerKelvin = number;
export type Volt = number;
export type VoltPerMetre = number;
export type MetrePerVolt = number;
export type Ampere = number;
export type Coulomb = number;
export type Farad = number;
export type Ohm = number;
export type Henry = number;
export type Ratio = number;
