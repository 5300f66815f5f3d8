import type { BookValue } from './book.js'
import type { SpreadKind } from './deviation.js'
import { bookBelief, towardsRecord } from './belief.js'
import { AMINO_ACIDS, followShare, sharesOf } from './follow.js'
import { spreadParts, UNKNOWN, type KnownValue, type LotValue, type LotValues } from './lot-value.js'
import { NUTRIENT_IDS, type NutrientId } from './nutrients.js'
import { followProtein } from './protein.js'
import { totalSd } from './spread.js'
import type { SupplierRecord } from './supplier-record.js'

const SPREAD_STEPS = {
  lots: 'spread-of-lots',
  regions: 'spread-of-regions',
  memory: 'spread-from-memory',
  pooled: 'spread-pooled',
} as const satisfies Record<SpreadKind, string>

/** A book value with its between-lot spread; a structural zero cannot vary. */
const bookValue = ({ nutrient: _nutrient, value, knownBy, source, sd, sdKind, sdSource }: BookValue, ingredientKey: string): KnownValue => {
  const step = { code: knownBy === 'structural-zero' ? 'structural-zero' : 'book', facts: { value, source, read: knownBy === 'book' } }
  if (knownBy === 'structural-zero' || sd === undefined) return { value, knownBy, bookValue: value, from: [step] }
  // The source's key alone; the ingredient page has its whole text.
  const facts = { sd, source: sdSource?.split(':')[0] ?? null }
  const spreadStep = { code: SPREAD_STEPS[sdKind ?? 'lots'], facts }
  return { value, knownBy, ...spreadParts(bookBelief(value, sd, ingredientKey).spread), bookValue: value, from: [step, spreadStep] }
}

/** Once the supplier's record outweighs the book, the value is known by the record. */
const withRecord = (value: LotValue, nutrient: NutrientId, record: SupplierRecord): LotValue => {
  const mean = record.means[nutrient]
  if (value.value === null || value.knownBy === 'structural-zero' || value.spread === undefined || mean === undefined) return value
  const moved = towardsRecord({ mean: value.value, spread: value.spread }, mean, record.key)
  const facts = {
    lots: mean.lots,
    mean: mean.mean,
    before: value.value,
    value: moved.mean,
    weightPct: 100 * moved.weight,
    sd: totalSd(moved.spread),
  }
  return {
    ...value,
    value: moved.mean,
    knownBy: moved.weight >= 0.5 ? 'supplier' : value.knownBy,
    ...spreadParts(moved.spread),
    from: [...value.from, { code: 'supplier-record', facts }],
  }
}

/** What follows the record of another value is known by the record when that one is; what rests on memory stays so. */
const markedLike = (before: LotValue, after: LotValue, parent: LotValue): LotValue =>
  before.value === null || after.value === null || before === after
    ? after
    : { ...after, knownBy: before.knownBy === 'book' && parent.knownBy === 'supplier' ? 'supplier' : before.knownBy }

/** Amino acids follow the protein of the record; their own records then move them further, and digestible contents follow those. */
const recorded = (values: LotValues, record: SupplierRecord, ingredientKey: string): LotValues => {
  let moved = values
  for (const nutrient of NUTRIENT_IDS) {
    if (record.means[nutrient] === undefined) continue
    const before = moved[nutrient]
    const after = withRecord(before, nutrient, record)
    if (before === after || before.value === null || after.value === null) continue
    const followed =
      nutrient === 'CP'
        ? followProtein(moved, after, 'not-needed', ingredientKey)
        : followShare(moved, sharesOf(nutrient), before, after, `follows-${nutrient}`)
    const marked = nutrient === 'CP' ? AMINO_ACIDS : sharesOf(nutrient)
    const changed: Partial<Record<NutrientId, LotValue>> = { [nutrient]: after }
    for (const id of marked) changed[id] = markedLike(moved[id], followed[id], after)
    moved = { ...moved, ...changed }
  }
  return moved
}

/** What is believed before anything of the lot itself is known: the book, moved towards the supplier's earlier lots. */
export const priorValues = (book: readonly BookValue[], ingredientKey: string, record?: SupplierRecord): LotValues => {
  const values = Object.fromEntries(NUTRIENT_IDS.map((nutrient) => [nutrient, UNKNOWN])) as Record<NutrientId, LotValue>
  for (const entry of book) values[entry.nutrient] = bookValue(entry, ingredientKey)
  return record ? recorded(values, record, ingredientKey) : values
}
