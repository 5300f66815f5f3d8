import { describe, expect, it } from 'vitest'
import { composeLot } from '#core/composition/compose-lot'
import { compoundFeedEnergyMjPerKg } from '#core/composition/energy'
import { spreadsForMix } from '#core/composition/spreads'
import { totalSd } from '#core/composition/spread'
import { contentsOfEarlierLot, supplierKey, supplierRecord } from '#core/composition/supplier-record'
import { amountInLot } from '#core/safety/hazards'
import { aBelievedLot, anAssay, codes, ingredient, known } from './builders.js'

const bookSd = (key: string, nutrient: string): number =>
  ingredient(key).book.find((value) => value.nutrient === nutrient)?.sd ?? Number.NaN

/** Normal draws from a seeded generator (mulberry32, Box and Muller). */
const normals = (seed: number): (() => number) => {
  let state = seed
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  return () => Math.sqrt(-2 * Math.log(uniform() || Number.MIN_VALUE)) * Math.cos(2 * Math.PI * uniform())
}

describe('what is believed of a lot', () => {
  it('starts at the book with its between-lot deviation, and gives every spread to the mix', () => {
    const maize = aBelievedLot('maize_yellow')
    expect(known(maize, 'CP').sd).toBeCloseTo(8.1 * 0.0525, 12)
    const spreads = spreadsForMix(maize)
    expect(Object.keys(spreads.CP?.shared ?? {})).toEqual(['book/maize_yellow'])
    for (const spread of Object.values(spreads)) expect(totalSd(spread)).toBeGreaterThan(0)
    expect(spreadsForMix(aBelievedLot('limestone')).ash).toBeUndefined()
    expect(spreadsForMix(aBelievedLot('limestone')).CP).toBeUndefined()
  })

  it('is updated by a result, near which it stays, and narrows', () => {
    const lot = aBelievedLot('soybean_cake_expeller', [anAssay('CP', 43), anAssay('urea', 0)])
    const [book, sd] = [39.36, bookSd('soybean_cake_expeller', 'CP')]
    // Repeatability 0.4 / 2.8, between laboratories 0.5 over 30 % (NAC 587.620), sampling half the between-lot sd over root 7.
    const error = Math.hypot(0.5, (0.5 * sd) / Math.sqrt(7))
    const weight = sd ** 2 / (sd ** 2 + error ** 2)
    expect(known(lot, 'CP').value).toBeCloseTo(book + weight * (43 - book), 10)
    expect(weight).toBeGreaterThan(0.85)
    expect(known(lot, 'CP').sd).toBeCloseTo(sd * Math.sqrt(1 - weight), 10)
    expect(Object.keys(known(lot, 'CP').spread?.shared ?? {}).toSorted()).toEqual([
      'book/soybean_cake_expeller',
      'laboratory/Ridge Laboratory',
    ])
    expect(known(lot, 'CP')).toMatchObject({ knownBy: 'measured', bookValue: 39.36 })
    expect(codes(lot, 'CP')).toEqual(['book', 'spread-of-lots', 'measured', 'belief-updated'])
    expect(lot.measured.CP).toEqual({ value: 43, belowDetection: false })
  })

  it('does not let two results of one laboratory cancel its bias', () => {
    const once = known(aBelievedLot('maize_yellow', [anAssay('CP', 8.4)]), 'CP')
    const twice = known(aBelievedLot('maize_yellow', [anAssay('CP', 8.4), anAssay('CP', 8.4)]), 'CP')
    const two = known(aBelievedLot('maize_yellow', [anAssay('CP', 8.4), anAssay('CP', 8.4, { laboratory: 'Lake Laboratory' })]), 'CP')
    expect(twice.sd).toBeLessThan(once.sd ?? 0)
    expect(two.sd).toBeLessThan(twice.sd ?? 0)
    expect(Object.keys(two.spread?.shared ?? {}).toSorted()).toEqual([
      'book/maize_yellow',
      'laboratory/Lake Laboratory',
      'laboratory/Ridge Laboratory',
    ])
  })

  it('does not average two laboratories that disagree: the worse result stands, wider', () => {
    const lot = aBelievedLot('maize_yellow', [anAssay('CP', 8.6), anAssay('CP', 7.4, { laboratory: 'Lake Laboratory' })])
    expect(lot.flags.map(({ code }) => code)).toContain('assays-disagree')
    expect(known(lot, 'CP').value).toBe(7.4)
    expect(known(lot, 'CP').sd).toBeGreaterThan(0.6)
  })

  it('counts below detection as nothing, somewhere under the limit', () => {
    const lot = aBelievedLot('maize_yellow', [anAssay('Lys', 0.06, { belowDetection: true })])
    // Standard deviation of an even distribution between 0 and 0.06.
    expect(known(lot, 'Lys')).toMatchObject({ value: 0, knownBy: 'below-detection', sd: expect.closeTo(0.06 / Math.sqrt(12), 12) })
  })

  it('takes measured moisture as it is and carries its error into what follows', () => {
    const lot = aBelievedLot('maize_yellow', [anAssay('moisture', 16)])
    const dry = bookSd('maize_yellow', 'DM')
    // Repeatability 0.2 / 2.8, between laboratories 0.3 (from memory), sampling.
    const error = Math.hypot(0.3, (0.5 * dry) / Math.sqrt(7))
    expect(known(lot, 'DM')).toMatchObject({ value: 84, knownBy: 'measured', sd: expect.closeTo(error, 10) })
    const factor = 84 / 89.63
    expect(known(lot, 'AME').value).toBeCloseTo(3350 * factor, 8)
    expect(known(lot, 'AME').sd).toBeCloseTo(Math.hypot(bookSd('maize_yellow', 'AME') * factor, (3350 * factor * error) / 84), 8)
  })
})

describe('what follows a measured protein', () => {
  const lot = aBelievedLot('soybean_cake_expeller', [anAssay('CP', 43), anAssay('urea', 0)])
  const before = aBelievedLot('soybean_cake_expeller')
  const protein = known(lot, 'CP')
  const bookCv = (nutrient: 'CP' | 'SID_Lys'): number => (known(before, nutrient).sd ?? 0) / known(before, nutrient).value
  const ratioCv = Math.sqrt(bookCv('SID_Lys') ** 2 - bookCv('CP') ** 2)

  it('narrows by error propagation: digestible lysine = protein x ratio x digestibility', () => {
    const lysine = known(lot, 'SID_Lys')
    expect(lysine.value).toBeCloseTo((known(before, 'SID_Lys').value * protein.value) / 39.36, 10)
    expect(lysine.sd).toBeCloseTo(lysine.value * Math.hypot((protein.sd ?? 0) / protein.value, ratioCv), 10)
    expect((lysine.sd ?? 0) / lysine.value).toBeLessThan(bookCv('SID_Lys'))
    expect(Object.keys(lysine.spread?.shared ?? {})).toContain('laboratory/Ridge Laboratory')
  })

  it('agrees with 200,000 draws of protein and ratio', () => {
    const draw = normals(20261125)
    const n = 200_000
    const lysine = known(lot, 'SID_Lys')
    const ratio = known(before, 'SID_Lys').value / 39.36
    let [sum, squares] = [0, 0]
    for (let i = 0; i < n; i += 1) {
      const value = (protein.value + (protein.sd ?? 0) * draw()) * ratio * (1 + ratioCv * draw())
      sum += value
      squares += value * value
    }
    const [mean, sd] = [sum / n, Math.sqrt(squares / n - (sum / n) ** 2)]
    // Four standard errors of a mean and of a standard deviation; the product's second-order term is below a thousandth of the latter.
    expect(Math.abs(mean - lysine.value)).toBeLessThan((4 * sd) / Math.sqrt(n))
    expect(Math.abs(sd - (lysine.sd ?? 0))).toBeLessThan((4 * sd) / Math.sqrt(2 * n) + 0.001 * sd)
  })

  it('is blocked by urea: found, or untested where it is a known fraud', () => {
    for (const urea of [[anAssay('urea', 1)], []]) {
      const raised = aBelievedLot('soybean_cake_expeller', [anAssay('CP', 46), ...urea])
      expect(known(raised, 'SID_Lys').value).toBe(known(before, 'SID_Lys').value)
      expect(known(raised, 'SID_Lys').sd).toBe(known(before, 'SID_Lys').sd)
      const lowered = aBelievedLot('soybean_cake_expeller', [anAssay('CP', 34), ...urea])
      expect(known(lowered, 'SID_Lys').value).toBeLessThan(known(before, 'SID_Lys').value)
    }
    expect(known(aBelievedLot('soybean_cake_expeller', [anAssay('CP', 46), anAssay('urea', 1)]), 'CP').value).toBe(39.36)
  })
})

describe('the record of a supplier', () => {
  const key = supplierKey('s', 'maize_white')
  const kind = { bookDryMatterPct: known(aBelievedLot('maize_white'), 'DM').value, ureaIsFraud: false }
  const recordOf = (proteins: readonly number[]) =>
    supplierRecord(
      key,
      proteins.map((value) => contentsOfEarlierLot({ assays: [anAssay('CP', value)], intakeMoisturePct: null }, kind)),
    )
  const book = known(aBelievedLot('maize_white'), 'CP').value

  it('moves a lot that was not tested, and its amino acids, the more the more lots there are', () => {
    const values = [1, 3, 20].map((n) => known(aBelievedLot('maize_white', [], { supplierRecord: recordOf(Array(n).fill(9.5)) }), 'CP'))
    for (const [i, n] of [1, 3, 20].entries()) expect(values[i]?.value).toBeCloseTo(book + (n / (n + 3)) * (9.5 - book), 10)
    expect(values.map(({ knownBy }) => knownBy)).toEqual([known(aBelievedLot('maize_white'), 'CP').knownBy, 'supplier', 'supplier'])
    const lot = aBelievedLot('maize_white', [], { supplierRecord: recordOf(Array(20).fill(9.5)) })
    expect(known(lot, 'Thr').value / known(aBelievedLot('maize_white'), 'Thr').value).toBeCloseTo(known(lot, 'CP').value / book, 10)
    expect(codes(lot, 'CP')).toContain('supplier-record')
    expect(Object.keys(known(lot, 'CP').spread?.shared ?? {})).toContain(key)
  })

  it('weighs little once the lot itself was measured', () => {
    const assays = [anAssay('CP', 8)]
    const far = known(aBelievedLot('maize_white', assays, { supplierRecord: recordOf(Array(20).fill(9.5)) }), 'CP').value
    expect(Math.abs(far - 8)).toBeLessThan(0.4)
  })

  it('is at the dry matter of the book, and leaves out nitrogen that may be urea', () => {
    const wet = contentsOfEarlierLot({ assays: [anAssay('CP', 8), anAssay('moisture', 20)], intakeMoisturePct: 12 }, kind)
    expect(wet).toEqual([['CP', expect.closeTo((8 * kind.bookDryMatterPct) / 80, 10)]])
    const urea = { assays: [anAssay('CP', 60)], intakeMoisturePct: null }
    expect(contentsOfEarlierLot(urea, { ...kind, ureaIsFraud: true })).toEqual([])
    expect(contentsOfEarlierLot({ ...urea, assays: [...urea.assays, anAssay('urea', 0)] }, { ...kind, ureaIsFraud: true })).toHaveLength(1)
    expect(contentsOfEarlierLot({ ...urea, assays: [...urea.assays, anAssay('urea', 1)] }, kind)).toEqual([])
  })
})

describe('energy', () => {
  const equation = (parts: { CP: number; EE: number; starch: number; sugars: number }): number =>
    compoundFeedEnergyMjPerKg({ proteinPct: parts.CP, fatPct: parts.EE, starchPct: parts.starch, sugarsPct: parts.sugars }) ?? Number.NaN
  const book = { CP: 8.1, EE: 3.72, starch: 64, sugars: 1.64 }
  const { category, book: values } = ingredient('maize_yellow')
  /** Results that count as exact, so that the inputs are what was measured. */
  const exact = (parts: Readonly<Record<string, number>>) =>
    composeLot({
      ingredientKey: 'maize_yellow',
      category,
      book: values,
      assays: Object.entries(parts).map(([analyte, value]) => anAssay(analyte, value)),
    })

  it('moves as the published equation moves once all its inputs are measured', () => {
    const parts = { CP: 8.6, EE: 4.4, starch: 61, sugars: 2 }
    const lot = exact(parts)
    // Regulation 152/2009, Annex VII (read; mill_practice.csv FOR-01).
    expect(known(lot, 'AME').value).toBeCloseTo((3350 * equation(parts)) / equation(book), 8)
    expect(codes(lot, 'AME')).toContain('follows-energy-equation')
  })

  it('takes one input from the book when the parts close to 100 %, and not when they do not', () => {
    const closing = exact({ CP: 8.6, EE: 4.4, starch: 62 })
    expect(known(closing, 'AME').value).toBeCloseTo((3350 * equation({ CP: 8.6, EE: 4.4, starch: 62, sugars: 1.64 })) / equation(book), 8)
    // Water 10.37, ash 1.16, fibre 12.09, sugars 1.64 and these make 80 %.
    const open = exact({ CP: 8.6, EE: 4.4, starch: 42 })
    expect(known(open, 'AME').value).toBe(3350)
    expect(known(exact({ CP: 8.6, EE: 4.4 }), 'AME').value).toBe(3350)
  })

  it('has at least the scatter of the equation', () => {
    const lot = aBelievedLot('maize_yellow', [anAssay('CP', 8.6), anAssay('EE', 4.4), anAssay('starch', 61), anAssay('sugars', 2)])
    // 0.4 MJ/kg is the official tolerance (FOR-02), 0.2 one deviation: 48 kcal.
    expect(known(lot, 'AME').sd).toBeGreaterThan(47)
  })
})

describe('a limit on a lot', () => {
  it('is compared with the result, not with the belief that it moved', () => {
    const fish = aBelievedLot('omena_dagaa_meal', [anAssay('Cl', 2)])
    expect(known(fish, 'Cl').value).toBeLessThan(2)
    // Salt is 58.443 / 35.453 of its chloride (atomic weights).
    expect(amountInLot('salt in dried small fish or fish meal', fish)?.high).toBeCloseTo((2 * 58.443) / 35.453, 10)
    const maize = aBelievedLot('maize_yellow', [anAssay('aflatoxin_total', 18), anAssay('moisture', 14.2)])
    expect(amountInLot('total aflatoxins', maize)?.high).toBe(18)
    expect(amountInLot('moisture', maize)?.high).toBe(14.2)
    expect(maize.contaminants.aflatoxin_total?.upperBound).toBeGreaterThan(18)
  })
})
