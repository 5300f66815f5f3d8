import { describe, expect, it } from 'vitest'
import { BOOK_SHARE_OF_VARIANCE, bookBelief, pooledObservation, towardsRecord, updateBelief } from '#core/composition/belief'
import { assayErrorOf, samplingSd } from '#core/composition/assay-error'
import { bookSpread, pooledCv, type DeviationRow } from '#core/composition/deviation'
import { poisonUpperBound } from '#core/composition/poison-bound'
import { totalSd } from '#core/composition/spread'
import { readTable, textOf } from '#seed/reference-csv'
import { anAssay, ASSAY_ERRORS, INGREDIENTS, ingredient } from './builders.js'

const plain = (sd: number) => ({ own: sd })

describe('the normal-normal update', () => {
  it('gives the two opinions of Box and Tiao', () => {
    // Box and Tiao 1973, Bayesian Inference in Statistical Analysis, section 1.2 (from memory): priors N(900, 20) and N(800, 80), one
    // observation 850 with sd 40: posteriors N(890, 17.9) and N(840, 35.78).
    const a = updateBelief({ mean: 900, spread: plain(20) }, { value: 850, error: plain(40) })
    expect(a.mean).toBeCloseTo(890, 10)
    expect(totalSd(a.spread)).toBeCloseTo(17.9, 1)
    const b = updateBelief({ mean: 800, spread: plain(80) }, { value: 850, error: plain(40) })
    expect(b.mean).toBeCloseTo(840, 10)
    expect(totalSd(b.spread)).toBeCloseTo(35.78, 2)
  })

  it('gives the weight-of-students exercise of Gelman and others', () => {
    // Gelman, Carlin, Stern and Rubin, Bayesian Data Analysis, exercise 2.8 (from memory): prior N(180, 40), n students of mean 150, sd 20.
    // Posterior after 10: mean 150.7, sd 6.25; after 100: mean 150.07, sd 2.0.
    const after = (n: number) => updateBelief({ mean: 180, spread: plain(40) }, { value: 150, error: plain(20 / Math.sqrt(n)) })
    expect(after(10).mean).toBeCloseTo(150.7, 1)
    expect(totalSd(after(10).spread)).toBeCloseTo(6.25, 2)
    expect(after(100).mean).toBeCloseTo(150.07, 2)
    expect(totalSd(after(100).spread)).toBeCloseTo(2.0, 2)
  })

  it('keeps the key of every part, and the parts add up to the variance of the textbook', () => {
    const prior = bookBelief(8.1, 0.4, 'maize')
    const error = { own: 0.1, shared: { 'laboratory/Ridge': 0.2 } }
    const after = updateBelief(prior, { value: 7.3, error })
    const [p, e] = [0.16, 0.05]
    expect(totalSd(after.spread)).toBeCloseTo(Math.sqrt((p * e) / (p + e)), 12)
    expect(after.spread.shared?.['laboratory/Ridge']).toBeCloseTo((p / (p + e)) * 0.2, 12)
    expect(after.spread.shared?.['book/maize']).toBeCloseTo((e / (p + e)) * 0.4 * Math.sqrt(BOOK_SHARE_OF_VARIANCE), 12)
  })

  it('weights observations by one over the square of their error', () => {
    // Weights 100 and 25: (800 + 207.5) / 125.
    const two = pooledObservation([
      { value: 8, error: plain(0.1) },
      { value: 8.3, error: plain(0.2) },
    ])
    expect(two?.value).toBeCloseTo(8.06, 12)
    expect(two && totalSd(two.error)).toBeCloseTo(Math.sqrt(1 / 125), 12)
    expect(pooledObservation([])).toBeUndefined()
  })
})

describe('the book and the supplier', () => {
  it('splits the spread of a table as the origins of maize do', () => {
    // nutrient_sd.csv, maize protein, one origin each: the means' own variance against that of lots of one origin.
    const rows = readTable('nutrient_sd.csv', ['key', 'nutrient', 'mean', 'sd', 'note']).filter(
      (row) =>
        textOf(row, 'key') === 'maize_yellow' && textOf(row, 'nutrient') === 'crude_protein' && textOf(row, 'note').includes('origin'),
    )
    expect(rows).toHaveLength(4)
    const means = rows.map((row) => Number(textOf(row, 'mean')))
    const middle = means.reduce((sum, mean) => sum + mean / 4, 0)
    const between = means.reduce((sum, mean) => sum + (mean - middle) ** 2 / 3, 0)
    const within = rows.reduce((sum, row) => sum + Number(textOf(row, 'sd')) ** 2 / 4, 0)
    expect(between / (between + within)).toBeCloseTo(BOOK_SHARE_OF_VARIANCE, 1)
    expect(totalSd(bookBelief(8.1, 0.4, 'maize').spread)).toBeCloseTo(0.4, 12)
  })

  it('moves towards the record as lots accumulate, and narrows to what lots vary by themselves', () => {
    const book = bookBelief(8, 0.4, 'maize')
    const at = (lots: number) => towardsRecord(book, { mean: 9, lots }, 'supplier/s/maize')
    // Prior of the supplier's mean: 0.2; a lot about it: sqrt(0.12). Weight n / (n + 0.12 / 0.04) = n / (n + 3).
    for (const n of [1, 3, 9, 97]) expect(at(n).mean).toBeCloseTo(8 + n / (n + 3), 10)
    const sds = [1, 2, 4, 8, 1000].map((n) => totalSd(at(n).spread))
    expect(sds).toEqual(sds.toSorted((a, b) => b - a))
    expect(sds.at(-1)).toBeCloseTo(Math.sqrt(0.12), 3)
    // What stays uncertain of the mean is 1 / (1 / 0.04 + n / 0.12).
    expect(totalSd({ own: 0, shared: at(3).spread.shared })).toBeCloseTo(Math.sqrt(1 / (1 / 0.04 + 3 / 0.12)), 12)
  })
})

describe('the deviation between lots', () => {
  const row = (more: Partial<DeviationRow>): DeviationRow => ({
    ingredientKey: 'a',
    category: 'cereal',
    nutrient: 'CP',
    cvPct: 5,
    n: 10,
    about: 'lots',
    seen: 'read',
    source: 'test',
    ...more,
  })
  const asked = { ingredientKey: 'x', category: 'cereal', nutrient: 'CP', value: 10 } as const

  it('pools the category where the ingredient has no row, and says so', () => {
    const rows = [row({ cvPct: 3 }), row({ ingredientKey: 'b', cvPct: 4 }), row({ ingredientKey: 'c', category: 'pulse', cvPct: 50 })]
    // Root of the mean square of 3 and 4 per cent is 3.5355.
    expect(pooledCv(rows, 'cereal', 'CP')).toMatchObject({ cvPct: expect.closeTo(Math.sqrt(12.5), 12), rows: 2, of: 'cereal' })
    expect(bookSpread(rows, asked)).toMatchObject({ sd: expect.closeTo(Math.sqrt(12.5) / 10, 12), kind: 'pooled' })
  })

  it('prefers rows about lots, also when the regions are its own', () => {
    const regions = row({ ingredientKey: 'x', about: 'regions', cvPct: 1 })
    expect(bookSpread([regions, row({ ingredientKey: 'x', cvPct: 6, seen: 'memory' })], asked)).toMatchObject({ sd: 0.6, kind: 'memory' })
    // Regions are too narrow: lots of another cereal vary more, so they speak.
    expect(bookSpread([regions, row({ cvPct: 6 })], asked)).toMatchObject({ sd: 0.6, kind: 'pooled' })
    expect(bookSpread([regions], asked)).toMatchObject({ sd: 0.1, kind: 'regions' })
  })

  it('is known and never zero for every value that can vary', () => {
    for (const { key, book } of INGREDIENTS)
      for (const { nutrient, knownBy, sd, sdKind } of book) {
        if (knownBy === 'structural-zero') expect(sd, `${key} ${nutrient}`).toBeUndefined()
        else {
          expect(sd, `${key} ${nutrient}`).toBeGreaterThan(0)
          expect(sdKind, `${key} ${nutrient}`).toBeDefined()
        }
      }
  })

  it('marks what was pooled: maize has no row for chloride', () => {
    expect(ingredient('maize_yellow').book.find(({ nutrient }) => nutrient === 'Cl')).toMatchObject({ sdKind: 'pooled' })
    expect(ingredient('vegetable_oil').book.find(({ nutrient }) => nutrient === 'EE')?.sd).toBeLessThan(1)
  })
})

describe('the error of a result', () => {
  it('is the published repeatability limit over 2.8, and between laboratories the rest', () => {
    // assay_error.csv: protein below 20 %, duplicates within 0.2 points (from memory); between laboratories 0.3 at 10.1-20 % (NAC 587.620).
    const error = assayErrorOf(ASSAY_ERRORS, 'CP', 16, 'Kjeldahl')
    expect(error?.repeatabilitySd).toBeCloseTo(0.2 / 2.8, 12)
    expect(error?.laboratorySd).toBeCloseTo(Math.sqrt(0.3 ** 2 - (0.2 / 2.8) ** 2), 12)
    // 20-40 %: one per cent of the result.
    expect(assayErrorOf(ASSAY_ERRORS, 'CP', 30, 'Kjeldahl')?.repeatabilitySd).toBeCloseTo(0.3 / 2.8, 12)
    expect(assayErrorOf(ASSAY_ERRORS, 'CP', 16, 'near infrared')?.repeatabilitySd).toBe(0.35)
  })

  it('never exceeds what the ring test found of any analysis, and uses that where no row names the analyte', () => {
    expect(assayErrorOf(ASSAY_ERRORS, 'Thr', 0.5, 'chromatography')?.repeatabilitySd).toBeCloseTo(0.062 * 0.5, 12)
    const { repeatabilitySd = 0, laboratorySd = 0 } = assayErrorOf(ASSAY_ERRORS, 'Ca', 0.3, 'titration') ?? {}
    expect(Math.hypot(repeatabilitySd, laboratorySd)).toBeCloseTo(0.112 * 0.3, 12)
    expect(assayErrorOf(ASSAY_ERRORS, 'aflatoxin_total', 20, 'strip')).toBeUndefined()
    expect(assayErrorOf(ASSAY_ERRORS, 'urea', 1, 'strip')).toBeUndefined()
  })

  it('of sampling shrinks with the increments', () => {
    expect(samplingSd(0.4)).toBeCloseTo(0.2 / Math.sqrt(7), 12)
  })
})

describe('a mould poison', () => {
  it('may be far above a clean strip, less so after more of them, and never below the results', () => {
    const strips = (n: number) => ({
      readings: Array.from({ length: n }, () => ({
        value: 4,
        sd: null,
        belowDetection: true,
        assay: anAssay('aflatoxin_total', 4, { belowDetection: true }),
      })),
    })
    const bounds = [1, 2, 4, 16].map((n) => poisonUpperBound(strips(n)))
    expect(bounds[0]).toBeGreaterThan(20)
    expect(bounds).toEqual(bounds.toSorted((a, b) => b - a))
    expect(bounds.at(-1)).toBeGreaterThan(4)
    // At the bound the mean of the results lies 1.645 deviations below: variance 13.745 a ug/kg (Whitaker, from memory).
    for (const [i, n] of [1, 2, 4, 16].entries()) {
      const bound = bounds[i] ?? Number.NaN
      expect(bound - 1.645 * Math.sqrt((13.745 * bound) / n)).toBeCloseTo(4, 9)
    }
  })
})
