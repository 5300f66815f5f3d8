/**
 * Dietary electrolyte balance Na + K - Cl in mEq/kg from per cent as-fed: 10 g/kg per per cent over the molar mass
 * (`seed/reference/standards.README.md`, "Electrolyte balance"; Mongin 1981, from memory: 0.18, 0.80, 0.20 % give 226.5).
 */
export const electrolyteBalance = (naPct: number, kPct: number, clPct: number): number => 434.98 * naPct + 255.74 * kPct - 282.06 * clPct
