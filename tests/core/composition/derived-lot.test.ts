import { describe, expect, test } from 'vitest'
import type { LotComposition } from '#core/composition/compose-lot'
import { heapOf, lotKey, type HeapPart } from '#core/composition/derived-heap'
import { composeDerived } from '#core/composition/derived-lot'
import type { KnownValue } from '#core/composition/lot-value'
import { NUTRIENT_IDS } from '#core/composition/nutrients'
import { totalSd } from '#core/composition/spread'
import { aBelievedLot, aLot, anAssay, ASSAY_ERRORS, ingredient, known } from './builders.js'

const MAIZE = 'maize_white'
const part = (id: string, kg: number, composition: LotComposition): HeapPart => ({ id, name: id, kg, composition })
const derived = (parts: readonly HeapPart[], more: Partial<Parameters<typeof composeDerived>[0]> = {}): LotComposition => {
  const { category, book } = ingredient(MAIZE)
  return composeDerived({ ingredientKey: MAIZE, category, book, assays: [], assayErrors: ASSAY_ERRORS, parts, ...more })
}
const withCp = (value: Partial<KnownValue>, from = aBelievedLot(MAIZE)): LotComposition => ({
  ...from,
  values: { ...from.values, CP: { ...known(from, 'CP'), ...value } },
})

/** Park and Miller 1988, Box and Muller 1958: the same draws every time. */
const normals = (seed: number) => {
  let state = seed
  const next = (): number => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647
  return (): number => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next())
}

describe('the spread of a heap', () => {
  test('of n like lots is sigma over root n: the standard error of a mean (any textbook of statistics)', () => {
    const sigma = 0.6
    const lots = ['a', 'b', 'c', 'd'].map((id) => part(id, 250, withCp({ value: 9, sd: sigma, spread: { own: sigma } })))
    expect(totalSd(known(derived(lots), 'CP').spread ?? { own: 0 })).toBeCloseTo(sigma / Math.sqrt(4), 12)
  })

  test('does not narrow at all where all of it is shared: the mean of one error taken twice is that error', () => {
    const shared = { own: 0, shared: { 'book/maize_white': 0.5 } }
    const lots = [part('a', 100, withCp({ value: 8, spread: shared })), part('b', 300, withCp({ value: 10, spread: shared }))]
    expect(known(derived(lots), 'CP').sd).toBeCloseTo(0.5, 12)
    expect(known(derived(lots), 'CP').value).toBeCloseTo(9.5, 12)
  })

  test('agrees with 200,000 heaps that were drawn: own errors apart, those of one key together', () => {
    const parts = [
      { kg: 900, mean: 8.1, own: 0.5, book: 0.2, laboratory: 0.3 },
      { kg: 400, mean: 9.4, own: 0.8, book: 0.2, laboratory: 0 },
      { kg: 700, mean: 8.8, own: 0.1, book: 0.2, laboratory: 0.3 },
    ]
    const heap = parts.map(({ kg, mean, own, book, laboratory }, i) =>
      part(String(i), kg, withCp({ value: mean, spread: { own, shared: { book, ...(laboratory > 0 ? { laboratory } : {}) } } })),
    )
    const normal = normals(20_261_128)
    const draws = 200_000
    let [sum, squares] = [0, 0]
    for (let draw = 0; draw < draws; draw += 1) {
      const [ofBook, ofLaboratory] = [normal(), normal()]
      const protein = parts.reduce(
        (kg, one) => kg + one.kg * (one.mean + one.own * normal() + one.book * ofBook + one.laboratory * ofLaboratory),
        0,
      )
      const content = protein / 2000
      sum += content
      squares += content ** 2
    }
    const mean = sum / draws
    const { value, sd } = known(derived(heap), 'CP')
    // Five standard errors of what was drawn: sd / root n of a mean, sd / root 2n of a deviation.
    expect(Math.abs(value - mean)).toBeLessThan((5 * (sd ?? 0)) / Math.sqrt(draws))
    expect(Math.abs((sd ?? 0) - Math.sqrt(squares / draws - mean ** 2))).toBeLessThan((5 * (sd ?? 0)) / Math.sqrt(2 * draws))
  })

  test('knows a lot again that is in two heaps: a heap of them holds it once, with all of its kilograms', () => {
    const [a, b, c] = [0.7, 0.4, 0.5].map((own, i) => withCp({ value: 8 + i, spread: { own } })) as [
      LotComposition,
      LotComposition,
      LotComposition,
    ]
    const first = derived([part('a', 100, a), part('b', 300, b)])
    const second = derived([part('a', 200, a), part('c', 200, c)])
    const twice = known(derived([part('first', 400, first), part('second', 400, second)]), 'CP')
    const once = known(derived([part('a', 300, a), part('b', 300, b), part('c', 200, c)]), 'CP')
    expect(twice.value).toBeCloseTo(once.value, 12)
    expect(twice.sd).toBeCloseTo(once.sd ?? Number.NaN, 12)
    expect(twice.spread?.shared?.[lotKey('a')]).toBeCloseTo((300 / 800) * 0.7, 12)
  })

  test('is not known where that of one part is not', () => {
    const { sd: _sd, spread: _spread, ...bare } = known(aBelievedLot(MAIZE), 'CP')
    const one = aBelievedLot(MAIZE)
    const without: LotComposition = { ...one, values: { ...one.values, CP: bare } }
    expect(known(derived([part('a', 1, without), part('b', 1, one)]), 'CP').spread).toBeUndefined()
  })
})

describe('what a heap holds', () => {
  test('is what its parts hold, kilogram by kilogram, for every nutrient', () => {
    const [one, other] = [aBelievedLot(MAIZE, [anAssay('CP', 7.9)]), aBelievedLot(MAIZE, [anAssay('CP', 9.3)], { intakeMoisturePct: 14 })]
    const heap = heapOf([part('a', 1234.5, one), part('b', 765.5, other)])
    for (const nutrient of NUTRIENT_IDS) {
      const [a, b, whole] = [one.values[nutrient].value, other.values[nutrient].value, heap.values[nutrient].value]
      if (a === null || b === null) expect(whole).toBeNull()
      else expect((whole ?? Number.NaN) * 2000).toBeCloseTo(a * 1234.5 + b * 765.5, 6)
    }
  })

  test('is unknown where one part is unknown, never nothing', () => {
    const one = aLot(MAIZE)
    const blank: LotComposition = { ...one, values: { ...one.values, Ca: { value: null, knownBy: 'unknown', from: [] } } }
    expect(derived([part('a', 999, one), part('b', 1, blank)]).values.Ca).toMatchObject({ value: null, knownBy: 'unknown' })
  })

  test('is known as well as its weakest part', () => {
    const parts = [part('a', 1, withCp({ knownBy: 'measured' })), part('b', 1, withCp({ knownBy: 'memory' }))]
    expect(derived(parts).values.CP.knownBy).toBe('memory')
  })

  test('of a poison compares as the worst of its parts, may hold at most the mean of their bounds, and is untested where one is', () => {
    const lots = [2, 8].map((value) => aLot(MAIZE, [anAssay('aflatoxin_total', value)])) as [LotComposition, LotComposition]
    const bounds = lots.map(({ contaminants }) => contaminants.aflatoxin_total?.upperBound ?? Number.NaN) as [number, number]
    const heap = derived([part('a', 300, lots[0]), part('b', 100, lots[1])])
    expect(heap.contaminants.aflatoxin_total).toMatchObject({ value: 8, knownBy: 'measured' })
    expect(heap.measured.aflatoxin_total).toEqual({ value: 8, belowDetection: false })
    expect(heap.contaminants.aflatoxin_total?.upperBound).toBeCloseTo(0.75 * bounds[0] + 0.25 * bounds[1], 10)
    const half = derived([part('a', 300, lots[0]), part('b', 100, aLot(MAIZE))])
    expect(half.contaminants.aflatoxin_total).toBeUndefined()
    expect(half.tested).not.toContain('aflatoxin_total')
  })

  test('keeps the worse of a poison when its own sample is cleaner', () => {
    const parts = [part('a', 1, aLot(MAIZE, [anAssay('aflatoxin_total', 12)]))]
    const own = [anAssay('aflatoxin_total', 3)]
    expect(derived(parts, { assays: own }).measured.aflatoxin_total).toEqual({ value: 12, belowDetection: false })
    expect(derived(parts, { assays: [anAssay('aflatoxin_total', 25)] }).measured.aflatoxin_total?.value).toBe(25)
  })

  test('moves with its own result by the normal-normal weight, from the mean of its parts', () => {
    const parts = [part('a', 500, aBelievedLot(MAIZE)), part('b', 500, aBelievedLot(MAIZE))]
    const before = known(derived(parts), 'CP')
    const after = known(derived(parts, { assays: [anAssay('CP', before.value + 1)] }), 'CP')
    const step = after.from.find(({ code }) => code === 'belief-updated')
    const [prior, error] = [(before.sd ?? 0) ** 2, Number(step?.facts['errorSd']) ** 2]
    // Gelman and others, Bayesian Data Analysis: weight on the result = prior variance / (prior + error variance).
    expect(after.value - before.value).toBeCloseTo(prior / (prior + error), 9)
    expect((after.sd ?? 0) ** 2).toBeCloseTo((prior * error) / (prior + error), 9)
  })
})

describe('drying', () => {
  const wet = aBelievedLot(MAIZE, [], { intakeMoisturePct: 25 })
  const drying = { beforePct: 25, afterPct: 15.5 }
  // 11.24 % lighter: corn from 25 to 15.5 % moisture, D. Karki (South Dakota extension), "Corn grain moisture shrinkage", 2019-10-25, read as an excerpt.
  const left = 1 - 0.1124

  test('leaves the protein of the lot in fewer kilograms', () => {
    const dry = derived([part('a', 1000, wet)], { drying })
    expect(known(dry, 'DM').value).toBe(84.5)
    expect(known(dry, 'CP').value * left).toBeCloseTo(known(wet, 'CP').value, 3)
    expect(known(dry, 'CP').value / known(dry, 'DM').value).toBeCloseTo(known(wet, 'CP').value / known(wet, 'DM').value, 12)
    expect(dry.measuredMoisturePct).toBe(15.5)
  })

  test('of a heap of unlike wet lots leaves every nutrient that went in: only water goes (conservation of dry matter)', () => {
    const parts = [part('a', 600, wet), part('b', 400, aBelievedLot(MAIZE, [anAssay('CP', 8.6)], { intakeMoisturePct: 21 }))] as const
    // By hand: 600 x 25 % + 400 x 21 % = 234 kg of water in 1000; 766 kg of dry matter are 87 % of 880.46 kg at 13 %.
    const dry = derived(parts, { drying: { beforePct: 23.4, afterPct: 13 } })
    const kept = NUTRIENT_IDS.flatMap((nutrient) => {
      const values = [...parts.map(({ composition }) => composition), dry].map(({ values }) => values[nutrient].value)
      const [a = null, b = null, after = null] = values
      if (a === null || b === null || after === null) return []
      expect(after * (766 / 0.87), nutrient).toBeCloseTo(a * 600 + b * 400, 6)
      return [nutrient]
    })
    expect(kept).toEqual(NUTRIENT_IDS.filter((nutrient) => wet.values[nutrient].value !== null))
    expect(kept).toEqual(expect.arrayContaining(['DM', 'CP', 'Lys', 'Ca']))
  })

  test('leaves the poison too', () => {
    const bad = aBelievedLot(MAIZE, [anAssay('aflatoxin_total', 8), anAssay('moisture', 25)])
    const dry = derived([part('a', 1000, bad)], { drying })
    expect((dry.measured.aflatoxin_total?.value ?? 0) * left).toBeCloseTo(8, 2)
    expect(dry.measured.moisture).toBeUndefined()
    expect(dry.tested).toContain('moisture')
  })
})
