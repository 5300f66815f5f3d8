/** One row of the requirement tables: a limit of one nutrient, for one stage, from one source. Missing numbers are not stated. */
export type RequirementRow = {
  readonly stage: string
  /** A nutrient id, or a word the mill cannot compute (`GlySer`, `moisture`, `AIA`). */
  readonly nutrient: string
  readonly unit: string
  readonly min?: number
  readonly target?: number
  readonly max?: number
  readonly basis: string
  readonly referenceEnergyKcalPerKg?: number
  readonly referenceIntakeG?: number
  readonly source: string
  /** Whether the figure was read in the source or is remembered. */
  readonly read: boolean
  readonly note: string
}
