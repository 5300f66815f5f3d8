import type { AnalyteId } from './analytes.js'
import { composeLot, type ContaminantId, type ContaminantValue, type LotComposition, type LotInput } from './compose-lot.js'
import { heapOf, type Heap, type HeapPart } from './derived-heap.js'

/** Moistures by the meter before and after; the dry matter stays, so everything in it becomes more (or less) for one kilogram. */
export type Drying = { readonly beforePct: number; readonly afterPct: number }

export type DerivedInput = Omit<LotInput, 'inherited' | 'intakeMoisturePct' | 'supplierRecord'> & {
  readonly parts: readonly HeapPart[]
  readonly drying?: Drying | undefined
}

/** Contaminants and results of the parents for one kilogram of what is left after drying; moisture is another after it. */
const dried = (heap: Heap, { beforePct, afterPct }: Drying): Heap => {
  const factor = (100 - afterPct) / (100 - beforePct)
  const { moisture: _wet, ...measured } = heap.measured
  return {
    ...heap,
    measured: Object.fromEntries(Object.entries(measured).map(([id, found]) => [id, { ...found, value: found.value * factor }])),
    contaminants: Object.fromEntries(
      Object.entries(heap.contaminants).map(([id, found]) => {
        const bound = found.upperBound === undefined ? {} : { upperBound: found.upperBound * factor }
        return [id, { ...found, value: found.value * factor, ...bound }]
      }),
    ),
  }
}

/** Of a heap's result and its own the worse one stands, as of two results that disagree: a second sample may just have missed it. */
const worse = (own: ContaminantValue, inherited: ContaminantValue): ContaminantValue => {
  const [one, other] = own.value >= inherited.value && own.knownBy === 'measured' ? [own, inherited] : [inherited, own]
  const stands = one.knownBy === 'below-detection' && other.knownBy === 'measured' ? other : one
  const bounds = [own.upperBound, inherited.upperBound].filter((bound) => bound !== undefined)
  return { ...stands, ...(bounds.length > 0 ? { upperBound: Math.max(...bounds) } : {}), results: own.results + inherited.results }
}

const mergedContaminants = (own: LotComposition['contaminants'], heap: LotComposition['contaminants']): LotComposition['contaminants'] => {
  const merged: Partial<Record<ContaminantId, ContaminantValue>> = { ...heap, ...own }
  for (const id of Object.keys(own) as ContaminantId[]) {
    const [mine, theirs] = [own[id], heap[id]]
    if (mine && theirs) merged[id] = worse(mine, theirs)
  }
  return merged
}

/** As rules compare them: its own results go before those of its parents, but of a poison the worse one. */
const mergedMeasured = (
  { measured }: LotComposition,
  heap: Heap,
  contaminants: LotComposition['contaminants'],
): LotComposition['measured'] => {
  const merged: Partial<Record<AnalyteId, { readonly value: number; readonly belowDetection: boolean }>> = { ...heap.measured, ...measured }
  for (const id of Object.keys(contaminants) as ContaminantId[]) {
    const found = contaminants[id]
    if (found) merged[id] = { value: found.value, belowDetection: found.knownBy === 'below-detection' }
  }
  return merged
}

/**
 * What is believed of a lot that was made from others: their mean by kilograms with their spreads, rescaled by dry matter where it was
 * dried, then updated by its own results as any lot's belief is.
 */
export const composeDerived = ({ parts, drying, ...lot }: DerivedInput): LotComposition => {
  const wet = heapOf(parts)
  const heap = drying ? dried(wet, drying) : wet
  const own = composeLot({ ...lot, intakeMoisturePct: drying?.afterPct ?? null, inherited: { values: heap.values, urea: heap.urea } })
  const contaminants = mergedContaminants(own.contaminants, heap.contaminants)
  return {
    ...own,
    measured: mergedMeasured(own, heap, contaminants),
    contaminants,
    measuredMoisturePct: own.measuredMoisturePct ?? heap.measuredMoisturePct,
    tested: heap.tested,
  }
}
