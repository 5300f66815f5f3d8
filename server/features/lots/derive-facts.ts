import type { MakeLotBody } from '#contract/derived-lots'
import { fieldError } from '#core/errors'
import { formatKg, grams, sumGrams, type Grams } from '#core/quantity/mass'
import { parsePricePerKg } from '#core/quantity/money'
import { carriedPrice, expectedOf, strictestTerms, type Moistures, type Terms } from '#core/stock/derived-lot'
import { gramsOf } from '#features/stock/post-transfer'
import type { Tx } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'
import { medicationOf, withNames, type LotRow } from './lot-view.js'

/** The parents in the order in which they were told, with what was taken of each. */
export type Parent = { readonly row: LotRow; readonly grams: Grams; readonly path: string }

export const loadParents = async (tx: Tx, inputs: MakeLotBody['inputs']): Promise<Parent[]> => {
  // Locked before they are read: what somebody decides of one of them, or finds in it, is known here or waits for the lot that is made.
  const ids = inputs.map(({ lotId }) => lotId)
  await tx.$queryRaw`SELECT id FROM lot WHERE id = ANY(${ids}::uuid[]) ORDER BY id FOR UPDATE`
  const rows = await tx.lot.findMany({ where: { id: { in: ids } }, include: withNames })
  return inputs.map(({ lotId, kg }, index) => {
    const row = rows.find(({ id }) => id === lotId)
    if (row === undefined) throw fieldError('bad-input', `inputs.${index}.lotId`, 'unknown', 'there is no such lot')
    if (inputs.findIndex((other) => other.lotId === lotId) < index)
      throw fieldError('bad-input', `inputs.${index}.lotId`, 'twice', 'each lot once', { lotNumber: row.number })
    return { row, grams: gramsOf(kg), path: `inputs.${index}.kg` }
  })
}

const sameMedicine = (a: LotRow, b: LotRow): boolean => JSON.stringify(medicationOf(a)) === JSON.stringify(medicationOf(b))

/** A heap of unlike ingredients, or of unlike medicine, is a mix: what is in a handful of it nobody can say. */
const checkAlike = (parents: readonly Parent[]): void => {
  const first = parents[0]?.row
  parents.forEach(({ row }, index) => {
    if (first === undefined) return
    const path = `inputs.${index}.lotId`
    const facts = { lotNumber: row.number, otherNumber: first.number }
    if (row.ingredientId !== first.ingredientId)
      throw fieldError('bad-input', path, 'unlike-ingredient', `the same ingredient as lot ${first.number}; another one makes a mix`, facts)
    if (!sameMedicine(row, first))
      throw fieldError('bad-input', path, 'unlike-medicine', `the same medicine and strength as lot ${first.number}`, facts)
  })
}

const checkMoistures = ({ kind, moistureBeforePct: beforePct, moistureAfterPct: afterPct }: MakeLotBody): Moistures | null => {
  if (kind !== 'drying') {
    const path = beforePct === null ? 'moistureAfterPct' : 'moistureBeforePct'
    if (beforePct !== null || afterPct !== null) throw fieldError('bad-input', path, 'only-drying', 'only for drying')
    return null
  }
  if (beforePct === null) throw fieldError('bad-input', 'moistureBeforePct', 'missing', 'what the meter said before drying')
  if (afterPct === null) throw fieldError('bad-input', 'moistureAfterPct', 'missing', 'what the meter said after drying')
  if (afterPct >= beforePct)
    throw fieldError('bad-input', 'moistureAfterPct', 'not-drier', `below ${beforePct}, the moisture before`, { beforePct })
  return { beforePct, afterPct }
}

const checkLoss = ({ kind, lossKind }: MakeLotBody, taken: Grams, got: Grams): void => {
  if (got > taken && lossKind !== 'not-explained')
    throw fieldError('bad-input', 'lossKind', 'more-than-taken', 'not-explained, because more came out than went in')
  if (got < taken && lossKind === null) throw fieldError('bad-input', 'lossKind', 'missing', 'dust, moisture or not-explained')
  if (got === taken && lossKind !== null) throw fieldError('bad-input', 'lossKind', 'no-loss', 'left out where nothing was lost')
  if (lossKind === 'moisture' && kind !== 'drying')
    throw fieldError('bad-input', 'lossKind', 'only-drying', 'dust or not-explained; moisture is lost by drying, with both moistures')
}

const termsOf = (row: LotRow): Terms => ({
  expiresOn: row.expiresOn && plainDate(row.expiresOn),
  retestOn: row.retestOn && plainDate(row.retestOn),
  releasedFor: row.releasedFor,
  medicationDeclared: row.medicationDeclared,
})

export type MakingFacts = {
  readonly taken: Grams
  readonly got: Grams
  readonly expected: Grams
  readonly moistures: Moistures | null
  readonly terms: Terms
  readonly pricePerKg: ReturnType<typeof carriedPrice>
}

/** What the made lot is, by what was told and what its parents are. Throws at the field that cannot be. */
export const makingFacts = (input: MakeLotBody, parents: readonly Parent[]): MakingFacts => {
  const { kind, inputs, storagePlace } = input
  if (kind === 'bin' && inputs.length < 2) throw fieldError('bad-input', 'inputs', 'too-few', 'at least two lots in a bin')
  if (kind === 'bin' && storagePlace.trim() === '') throw fieldError('bad-input', 'storagePlace', 'missing', 'the bin they lie in')
  checkAlike(parents)
  const taken = sumGrams(parents.map((parent) => parent.grams))
  const got = gramsOf(input.gotKg)
  const moistures = checkMoistures(input)
  checkLoss(input, taken, got)
  const [mostKg, fewestKg] = [formatKg(grams(taken * 2)), formatKg(grams(Math.ceil(taken / 10)))]
  // Grain that weighs twice as much afterwards is a figure typed wrongly.
  if (got > taken * 2) throw fieldError('bad-input', 'gotKg', 'twice-taken', `at most ${mostKg} kg, twice what was taken`, { mostKg })
  // The wettest grain that the meter reads leaves two fifths when dried to nothing; of less than a tenth a digit is missing.
  if (got * 10 < taken)
    throw fieldError('bad-input', 'gotKg', 'tenth-of-taken', `at least ${fewestKg} kg, a tenth of what was taken`, { fewestKg })
  const terms = strictestTerms(parents.map(({ row }) => termsOf(row)))
  if (terms === null) throw fieldError('bad-input', 'inputs', 'no-feed-left', 'lots that some feed may take together')
  const paid = parents.map(({ row, grams: mass }) => ({ mass, pricePerKg: parsePricePerKg(row.pricePerKg.toFixed(4)) }))
  return { taken, got, expected: expectedOf(taken, moistures), moistures, terms, pricePerKg: carriedPrice(paid, got) }
}
