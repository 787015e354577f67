const SYMBOLS: Readonly<Record<string, string>> = {
  helium: "He",
  neon: "Ne",
  argon: "Ar",
  krypton: "Kr",
  xenon: "Xe",
  hydrogen: "H2",
  deuterium: "D2",
  nitrogen: "N2",
  oxygen: "O2",
  air: "air",
  "carbon dioxide": "CO2",
  "carbon monoxide": "CO",
  "nitrous oxide": "N2O",
  "nitric oxide": "NO",
  "nitrogen dioxide": "NO2",
  ammonia: "NH3",
  methane: "CH4",
  ethane: "C2H6",
  ethylene: "C2H4",
  ethene: "C2H4",
  acetylene: "C2H2",
  ethyne: "C2H2",
  propane: "C3H8",
  butane: "C4H10",
  "sulphur hexafluoride": "SF6",
  "sulfur hexafluoride": "SF6",
  "sulphur dioxide": "SO2",
  "sulfur dioxide": "SO2",
  "hydrogen sulphide": "H2S",
  "hydrogen sulfide": "H2S",
  "hydrogen chloride": "HCl",
  chlorine: "Cl2",
  fluorine: "F2",
  water: "H2O",
  silane: "SiH4",
};
const BY_LOWER_CASE = new Map(
  Object.values(SYMBOLS).map((symbol) => [symbol.toLowerCase(), symbol] as const),
);

/** Chemical symbol of a gas given by name or symbol in any case; an unknown name is returned as it is. */
export function gasSymbol(name: string): string {
  const lower = name.trim().toLowerCase();
  return SYMBOLS[lower] ?? BY_LOWER_CASE.get(lower) ?? name.trim();
}
