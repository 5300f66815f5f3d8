import { NUTRIENTS, type NutrientId } from '../composition/nutrients.js'
import type { FormulaLimits, NutrientLimit } from '../formulation/limits.js'
import { requirementLimit, type RequirementUse } from '../formulation/requirement-limit.js'
import type { RequirementRow } from './rows.js'

/** The set a draft starts from unless another is chosen (standards.README.md: `REC` rows are what a mill should aim at). */
export const DEFAULT_SOURCE = 'REC'

export type RequirementSetKey = { readonly source: string; readonly referenceIntakeG: number | null }
export type RequirementSetSummary = RequirementSetKey & {
  readonly rows: number
  readonly readRows: number
  /** Whether amino acids are given as total, digestible, both or not at all. They are never exchanged for each other. */
  readonly aminoAcids: 'total' | 'digestible' | 'both' | 'none'
}

/** Where one limit of a draft comes from. */
export type LimitOrigin = {
  readonly nutrient: NutrientId
  readonly min: number | null
  readonly target: number | null
  readonly max: number | null
  /** The source gives a target alone; it stands as the minimum (a target is a limit that holds half the time). */
  readonly minFromTarget: boolean
  readonly unit: string
  readonly basis: string
  readonly source: string
  readonly read: boolean
  readonly note: string
  /** The intake that turned a daily amount into a share of the feed. */
  readonly convertedWithIntakeG: number | null
}

/** A row that the mill cannot compute or convert, shown and never dropped silently. */
export type RowLeftOut = { readonly row: RequirementRow; readonly reason: 'not-computed' | 'no-intake' | 'no-limit' }
export type RequirementSet = {
  readonly stage: string
  readonly source: string
  readonly limits: FormulaLimits
  readonly origins: readonly LimitOrigin[]
  readonly leftOut: readonly RowLeftOut[]
}

const isNutrient = (text: string): text is NutrientId => text in NUTRIENTS
const sameIntake = (row: RequirementRow, intakeG: number | null): boolean => (row.referenceIntakeG ?? null) === intakeG

const aminoAcidsOf = (rows: readonly RequirementRow[]): RequirementSetSummary['aminoAcids'] => {
  const digestible = rows.some(({ nutrient }) => nutrient.startsWith('SID_'))
  const total = rows.some(({ nutrient }) => nutrient === 'Lys' || nutrient === 'Met' || nutrient === 'MetCys')
  if (digestible && total) return 'both'
  return digestible ? 'digestible' : total ? 'total' : 'none'
}

/** Which sets a stage has: one for each source, and one for each reference intake where a source tells several apart. */
export const requirementSetsOf = (rows: readonly RequirementRow[], stage: string): RequirementSetSummary[] => {
  const ofStage = rows.filter((row) => row.stage === stage)
  const sources = [...new Set(ofStage.map((row) => row.source))]
  return sources.flatMap((source) => {
    const ofSource = ofStage.filter((row) => row.source === source)
    const intakes = [...new Set(ofSource.map((row) => row.referenceIntakeG ?? null))]
    return intakes.map((referenceIntakeG) => {
      const set = ofSource.filter((row) => sameIntake(row, referenceIntakeG))
      return { source, referenceIntakeG, rows: set.length, readRows: set.filter((row) => row.read).length, aminoAcids: aminoAcidsOf(set) }
    })
  })
}

/** The set of a stage and source nearest to what is asked: the given intake, else about 100 g, else the one there is. */
const rowsOfSet = (rows: readonly RequirementRow[], stage: string, source: string, intakeG: number | undefined): RequirementRow[] => {
  const ofSource = rows.filter((row) => row.stage === stage && row.source === source)
  const intakes = [...new Set(ofSource.map((row) => row.referenceIntakeG ?? null))]
  if (intakes.length < 2) return ofSource
  const wanted = intakeG ?? 100
  const [nearest = null] = intakes.toSorted((a, b) => Math.abs((a ?? Infinity) - wanted) - Math.abs((b ?? Infinity) - wanted))
  return ofSource.filter((row) => sameIntake(row, nearest))
}

type Converted = { readonly factor: number; readonly intakeG: number | null }
/** g/bird/day divided by the intake in grams and times 100 is per cent of the feed. */
const conversionOf = (row: RequirementRow, intakeG: number | undefined): Converted | undefined => {
  if (row.unit !== 'g/bird/day') return { factor: 1, intakeG: null }
  const grams = intakeG ?? row.referenceIntakeG
  return grams !== undefined && grams > 0 ? { factor: 100 / grams, intakeG: grams } : undefined
}

const scaled = (value: number | undefined, factor: number): number | null => (value === undefined ? null : value * factor)

const isTargetOnly = (row: RequirementRow): boolean => row.min === undefined && row.max === undefined && row.target !== undefined

const originOf = (row: RequirementRow, nutrient: NutrientId, { factor, intakeG }: Converted): LimitOrigin => ({
  nutrient,
  min: scaled(row.min ?? (isTargetOnly(row) ? row.target : undefined), factor),
  target: scaled(row.target, factor),
  max: scaled(row.max, factor),
  minFromTarget: isTargetOnly(row),
  unit: NUTRIENTS[nutrient].unit,
  basis: row.basis,
  source: row.source,
  read: row.read,
  note: row.note,
  convertedWithIntakeG: intakeG,
})

/** The limit that a draft takes from a row: see `requirementLimit`. */
export const limitOfOrigin = ({ nutrient, min, target, max, minFromTarget }: LimitOrigin, use: RequirementUse): NutrientLimit =>
  requirementLimit(
    { nutrient, min: minFromTarget ? undefined : (min ?? undefined), target: target ?? undefined, max: max ?? undefined },
    use,
  )

/** The published minimum and maximum on average: what a draft begins with unless something else is asked for. */
const ON_AVERAGE: RequirementUse = { kind: 'minimum', certainty: 0.5 }

/**
 * The limits of one stage from one source as a draft for a formula, each with its origin. Minimum and maximum become limits; a
 * target that stands alone becomes the minimum. Daily amounts become per cent with `intakeG`, else the row's own reference intake. A stage or source that
 * is not in the rows gives an empty draft.
 */
export const requirementSet = (
  rows: readonly RequirementRow[],
  stage: string,
  source: string = DEFAULT_SOURCE,
  intakeG?: number,
): RequirementSet => {
  const origins: LimitOrigin[] = []
  const leftOut: RowLeftOut[] = []
  for (const row of rowsOfSet(rows, stage, source, intakeG)) {
    const { nutrient } = row
    const converted = conversionOf(row, intakeG)
    if (!isNutrient(nutrient)) leftOut.push({ row, reason: 'not-computed' })
    else if (row.min === undefined && row.max === undefined && row.target === undefined) leftOut.push({ row, reason: 'no-limit' })
    else if (!converted) leftOut.push({ row, reason: 'no-intake' })
    else origins.push(originOf(row, nutrient, converted))
  }
  return {
    stage,
    source,
    limits: { nutrients: origins.map((origin) => limitOfOrigin(origin, ON_AVERAGE)), ratios: [], ingredients: [], groups: [] },
    origins,
    leftOut,
  }
}
