/** mEq/kg for one per cent of sodium, potassium and chloride. */
export const ELECTROLYTE_WEIGHTS = [434.98, 255.74, -282.06] as const

/**
 * Dietary electrolyte balance Na + K - Cl in mEq/kg from per cent as-fed: 10 g/kg per per cent over the molar mass
 * (`seed/reference/standards.README.md`, "Electrolyte balance"; Mongin 1981, from memory: 0.18, 0.80, 0.20 % give 226.5).
 */
export const electrolyteBalance = (naPct: number, kPct: number, clPct: number): number =>
  ELECTROLYTE_WEIGHTS[0] * naPct + ELECTROLYTE_WEIGHTS[1] * kPct + ELECTROLYTE_WEIGHTS[2] * clPct
