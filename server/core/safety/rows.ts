/** One checkable rule as the reference table has it; `limit` is the printed limit, `low` and `high` the same as numbers. */
export type SafetyRule = {
  readonly id: string
  readonly topic: string
  readonly protects: string
  readonly itemType: string
  readonly item: string
  /** What must be true for the feed to pass. `in` is low..high inclusive. */
  readonly operator: '<=' | '>=' | '==' | 'in' | 'not_with'
  readonly limit: string
  readonly low?: number
  readonly high?: number
  readonly unit: string
  readonly basis: string
  readonly scope: 'flock' | 'ingredient_lot' | 'premixture' | 'process' | 'label' | 'combination'
  /** Flock keys split by `|`, `*` is a wildcard. */
  readonly flockGlob: string
  readonly appliesTo: string
  readonly condition: string
  readonly severity: 'warn' | 'block'
  readonly action: string
  readonly jurisdiction: string
  readonly source: string
  readonly read: boolean
  readonly note: string
}

/** One authorised use of one coccidiostat, joined with the flock keys of its rule. */
export type DoseRule = {
  readonly ruleId: string
  readonly jurisdiction: string
  readonly active: string
  /** The legal words of the class of birds, e.g. "chickens for fattening". */
  readonly category: string
  readonly flockGlob: string
  readonly maxAgeWeeks?: number
  /** One number for each active of a combination. */
  readonly minMgPerKg: readonly number[]
  readonly maxMgPerKg: readonly number[]
  /** Missing: the source printed none, which is not the same as zero. */
  readonly withdrawalDays?: number
  readonly mayFeedToLayingHens: boolean
  readonly dangerousTo: string
  readonly avoidWith: string
  readonly labelDuty: string
  readonly legalNote: string
  readonly source: string
  readonly read: boolean
}

export type SafetyTables = { readonly rules: readonly SafetyRule[]; readonly doses: readonly DoseRule[] }
