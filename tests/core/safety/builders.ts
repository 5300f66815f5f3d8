import { worstCases } from '#core/composition/book'
import type { Assay } from '#core/composition/assays'
import type { Finding } from '#core/safety/finding'
import type { LotFacts } from '#core/safety/facts'
import type { SafetySettings } from '#core/safety/precedence'
import type { MixPart } from '#core/safety/mix-content'
import { readSafetyTables } from '#seed/reference-tables'
import { aLot, anAssay, INGREDIENTS } from '../composition/builders.js'

export const TABLES = readSafetyTables()
export const WORST = worstCases(INGREDIENTS)
export const ON = '2026-08-04'

/** A Kenyan mill that follows the European authorisations of coccidiostats. */
export const context = (settings: Partial<SafetySettings> = {}) => ({
  tables: TABLES,
  settings: { jurisdiction: 'Kenya', medicationJurisdiction: 'EU', ...settings },
  on: ON,
  worst: WORST,
})

export const factsOf = (key: string, assays: readonly Assay[] = [], more: Partial<LotFacts> = {}): LotFacts => ({
  name: `lot of ${key}`,
  status: 'released',
  expiresOn: null,
  medicationDeclared: true,
  medication: null,
  composition: aLot(key, assays),
  ...more,
})

const CLEAN = [anAssay('aflatoxin_total', 2, { belowDetection: true })]

/** A plain layer mash: common practice, no source; the lots are tested clean. */
export const layerMash = (): MixPart[] => [
  { lot: factsOf('maize_yellow', CLEAN), kg: 600 },
  { lot: factsOf('soybean_meal_44', CLEAN), kg: 270 },
  { lot: factsOf('limestone'), kg: 92 },
  { lot: factsOf('vegetable_oil'), kg: 16 },
  { lot: factsOf('dicalcium_phosphate'), kg: 13 },
  { lot: factsOf('salt'), kg: 3.8 },
  { lot: factsOf('dl_methionine_99'), kg: 1.2 },
  { lot: factsOf('premix_generic'), kg: 4 },
]

export const finding = (findings: readonly Finding[], ruleId: string): Finding | undefined =>
  findings.find((found) => found.ruleId === ruleId)
export const blocks = (findings: readonly Finding[]): string[] =>
  findings.filter(({ severity }) => severity === 'block').map(({ ruleId, what }) => `${ruleId} ${what.code}`)
