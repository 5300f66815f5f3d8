import { ANALYTES, type AnalyteId } from './analytes.js'
import type { ContaminantId, ContaminantValue, LotComposition } from './compose-lot.js'
import { spreadParts, UNKNOWN, weakestKnownBy, type LotValue, type LotValues } from './lot-value.js'
import { NUTRIENT_IDS, type NutrientId } from './nutrients.js'
import { addLinked, scaleSpread, type Spread } from './spread.js'
import type { UreaState } from './urea.js'

/** One lot that went into a derived lot, as it is believed now. `name` is its number. */
export type HeapPart = { readonly id: string; readonly name: string; readonly kg: number; readonly composition: LotComposition }

/** What a derived lot has from its parents, before anything of its own is measured. */
export type Heap = {
  readonly values: LotValues
  readonly measured: LotComposition['measured']
  readonly contaminants: LotComposition['contaminants']
  readonly measuredMoisturePct: number | null
  /** What every parent was tested for. */
  readonly tested: readonly AnalyteId[]
  readonly urea: UreaState | undefined
}

/** The key under which everything that holds a part of one lot errs by what that lot alone errs. */
export const lotKey = (lotId: string): string => `lot/${lotId}`

type Share = HeapPart & { readonly share: number }

const sharesOf = (parts: readonly HeapPart[]): readonly Share[] => {
  const total = parts.reduce((sum, { kg }) => sum + kg, 0)
  if (!(total > 0)) throw new Error('a heap of nothing')
  return parts.map((part) => ({ ...part, share: part.kg / total }))
}

const namesOf = (parts: readonly HeapPart[]): string => parts.map(({ name }) => name).join(', ')
const mean = (shares: readonly Share[], of: (part: Share) => number): number => shares.reduce((sum, part) => sum + part.share * of(part), 0)

const spreadOf = (value: LotValue): Spread | undefined => {
  if (value.value === null) return undefined
  if (value.knownBy === 'structural-zero') return { own: 0 }
  return value.spread ?? (value.sd === undefined ? undefined : { own: value.sd })
}

/** A parent's own part gets its key, so that two heaps with a part of one lot in each err by that lot together. */
const keyed = (id: string, { own, shared = {} }: Spread, share: number): Spread =>
  addLinked(scaleSpread({ own: 0, shared }, share), { own: 0, shared: own > 0 ? { [lotKey(id)]: share * own } : {} })

/**
 * One content of the heap: the mean weighted by kilograms. What the parents err by alone is independent, so its squares add under a key
 * each; what they share (book, supplier, laboratory) goes the same way and adds as it is. One unknown part makes the whole unknown.
 */
const heapValue = (shares: readonly Share[], nutrient: NutrientId): LotValue => {
  const parts = shares.map((part) => ({ ...part, value: part.composition.values[nutrient] }))
  const lots = namesOf(shares)
  const knownBy = weakestKnownBy(parts.map(({ value }) => value.knownBy))
  if (knownBy === 'unknown') return { ...UNKNOWN, from: [{ code: 'heap-part-unknown', facts: { lots } }] }
  const value = mean(shares, ({ composition }) => composition.values[nutrient].value ?? Number.NaN)
  const from = [{ code: 'heap-mean', facts: { lots, value } }]
  if (knownBy === 'structural-zero') return { value, knownBy, from }
  const spreads = parts.map(({ id, share, value: part }) => {
    const spread = spreadOf(part)
    return spread && keyed(id, spread, share)
  })
  const whole = spreads.every((spread) => spread !== undefined)
  const bookValue = parts[0]?.value.bookValue
  const sameBook = bookValue !== undefined && parts.every(({ value: part }) => part.bookValue === bookValue)
  return { value, knownBy, ...(whole ? spreadParts(addLinked(...spreads)) : {}), ...(sameBook ? { bookValue } : {}), from }
}

type Found = { readonly value: number; readonly belowDetection: boolean }

/** The result that is worse to have: for what harms the highest, for what feeds the lowest; "none found" only where none was found in any. */
const worst = (found: readonly Found[], worse: 'low' | 'high'): Found | undefined => {
  const seen = found.filter(({ belowDetection }) => belowDetection === (worse === 'low'))
  const among = seen.length > 0 ? seen : found
  return among.reduce<Found | undefined>(
    (a, b) => (a === undefined || (worse === 'high' ? b.value > a.value : b.value < a.value) ? b : a),
    undefined,
  )
}

const testedIn = ({ measured, tested = [] }: LotComposition): ReadonlySet<string> => new Set([...Object.keys(measured), ...tested])

const worstMeasured = (parts: readonly HeapPart[]): LotComposition['measured'] => {
  const ids = Object.keys(parts[0]?.composition.measured ?? {}) as AnalyteId[]
  return Object.fromEntries(
    ids.flatMap((id) => {
      const found = parts.flatMap(({ composition }) => composition.measured[id] ?? [])
      const one = found.length === parts.length ? worst(found, ANALYTES[id].worse) : undefined
      return one ? [[id, one]] : []
    }),
  )
}

const worstContaminant = (shares: readonly Share[], id: ContaminantId): ContaminantValue | undefined => {
  const found = shares.flatMap((part) => part.composition.contaminants[id] ?? [])
  if (found.length < shares.length) return undefined
  const one = worst(
    found.map(({ value, knownBy }) => ({ value, belowDetection: knownBy === 'below-detection' })),
    'high',
  )
  const its = found.find(({ value, knownBy }) => value === one?.value && (knownBy === 'below-detection') === one.belowDetection)
  if (its === undefined) return undefined
  const { upperBound: _own, ...rest } = its
  const bounded = found.every(({ upperBound }) => upperBound !== undefined)
  return {
    ...rest,
    ...(bounded ? { upperBound: mean(shares, ({ composition }) => composition.contaminants[id]?.upperBound ?? Number.NaN) } : {}),
    results: found.reduce((sum, { results }) => sum + results, 0),
    step: { code: 'worst-of-parents', facts: { lots: namesOf(shares), value: its.value } },
  }
}

const CONTAMINANTS = ['aflatoxin_B1', 'aflatoxin_total', 'urea', 'AIA'] as const satisfies readonly ContaminantId[]

const ureaOf = (parts: readonly HeapPart[]): UreaState | undefined => {
  const found = parts.map(({ composition }) => composition.contaminants.urea)
  if (found.some((one) => one?.knownBy === 'measured' && one.value > 0)) return 'found'
  return found.every((one) => one !== undefined) ? 'clear' : undefined
}

/**
 * What is believed of several lots thrown together, evenly mixed. A poison's result is never averaged away: the worst of the parents stands
 * for the whole as safety rules compare it, because a heap is not as even as a mean. What it may hold at most (`upperBound`) is the mean of
 * the parents' bounds by kilograms. Where one parent was not tested, the heap was not.
 */
export const heapOf = (parts: readonly HeapPart[]): Heap => {
  const shares = sharesOf(parts)
  const moistures = parts.map(({ composition }) => composition.measuredMoisturePct)
  const [first, ...others] = parts.map(({ composition }) => testedIn(composition))
  const tested = [...(first ?? [])].filter((id) => others.every((other) => other.has(id))) as AnalyteId[]
  return {
    values: Object.fromEntries(NUTRIENT_IDS.map((id) => [id, heapValue(shares, id)])) as Record<NutrientId, LotValue>,
    measured: worstMeasured(parts),
    contaminants: Object.fromEntries(
      CONTAMINANTS.flatMap((id) => {
        const found = worstContaminant(shares, id)
        return found ? [[id, found]] : []
      }),
    ),
    measuredMoisturePct: moistures.includes(null) ? null : mean(shares, ({ composition }) => composition.measuredMoisturePct ?? Number.NaN),
    tested,
    urea: ureaOf(parts),
  }
}
