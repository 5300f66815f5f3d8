/** MJ/kg for one per cent of each, by the regulation below. */
export const COMPOUND_FEED_WEIGHTS = { CP: 0.1551, EE: 0.3431, starch: 0.1669, sugars: 0.1301 } as const

/**
 * Metabolisable energy of a compound poultry feed in MJ/kg by Regulation (EC) 152/2009, Annex VII (read; `mill_practice.csv`
 * FOR-01), from crude protein, fat, starch and total sugars in per cent as-fed. It checks a finished feed; of a
 * single ingredient it says how the energy moves with the analysis, not how high it is. Undefined when an input is unknown.
 */
export const compoundFeedEnergyMjPerKg = (feed: {
  readonly proteinPct: number | undefined
  readonly fatPct: number | undefined
  readonly starchPct: number | undefined
  readonly sugarsPct: number | undefined
}): number | undefined => {
  const { proteinPct, fatPct, starchPct, sugarsPct } = feed
  if (proteinPct === undefined || fatPct === undefined || starchPct === undefined || sugarsPct === undefined) return undefined
  const { CP, EE, starch, sugars } = COMPOUND_FEED_WEIGHTS
  return CP * proteinPct + EE * fatPct + starch * starchPct + sugars * sugarsPct
}

/** 1 MJ = 239.006 kcal (4.184 kJ a kcal; `mill_practice.csv` FOR-01 and FOR-09). */
export const KCAL_PER_MJ = 1000 / 4.184
