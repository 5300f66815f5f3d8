import { describe, expect, it } from 'vitest'
import { fc, test } from '@fast-check/vitest'
import { compoundFeedEnergyMjPerKg, KCAL_PER_MJ } from '#core/composition/energy'
import { electrolyteBalance } from '#core/composition/electrolytes'
import { contentsForMix } from '#core/composition/contents'
import { worstCases } from '#core/composition/book'
import { weakestKnownBy } from '#core/composition/lot-value'
import { NUTRIENT_IDS } from '#core/composition/nutrients'
import { aLot, anAssay, codes, ingredient, INGREDIENTS, known } from './builders.js'

describe('a lot without measurements', () => {
  it('is the book, with its source in the steps', () => {
    const maize = aLot('maize_yellow')
    // ingredients.csv: maize_yellow protein 8.1 %, read.
    expect(known(maize, 'CP')).toMatchObject({ value: 8.1, knownBy: 'book', bookValue: 8.1 })
    expect(known(maize, 'CP').from[0]).toMatchObject({ code: 'book', facts: { source: 'KJPS-49-2-79-T1', read: true } })
  })

  it('keeps what no table holds unknown, never zero', () => {
    expect(aLot('limestone').values.ash).toMatchObject({ value: null, knownBy: 'unknown' })
    expect(aLot('leucaena_leaf_meal').values.SID_Lys.knownBy).toBe('unknown')
  })

  it('derives the digestible sum and the electrolyte balance with the weakest mark of the parts', () => {
    const maize = aLot('maize_yellow')
    expect(known(maize, 'SID_MetCys').value).toBeCloseTo(known(maize, 'SID_Met').value + known(maize, 'SID_Cys').value, 12)
    expect(known(maize, 'DEB').value).toBeCloseTo(electrolyteBalance(0.0044, 0.2874, 0.04), 10)
    // Chloride of maize is remembered (NRC1994 T9-2 from memory).
    expect(known(maize, 'DEB').knownBy).toBe('memory')
  })
})

describe('measured moisture', () => {
  it('rescales every as-fed value by dry matter', () => {
    const wet = aLot('maize_yellow', [anAssay('moisture', 16)])
    // Book dry matter 89.63 %, so 84 / 89.63 of everything.
    expect(known(wet, 'CP').value).toBeCloseTo((8.1 * 84) / 89.63, 10)
    expect(known(wet, 'AME').value).toBeCloseTo((3350 * 84) / 89.63, 8)
    expect(known(wet, 'SID_Lys').value).toBeCloseTo((0.24 * 0.797 * 84) / 89.63, 10)
    expect(known(wet, 'DM')).toMatchObject({ value: 84, knownBy: 'measured' })
    expect(codes(wet, 'CP')).toEqual(['book', 'spread-of-lots', 'follows-dry-matter'])
  })

  it('uses the meter at intake until the laboratory has measured', () => {
    expect(aLot('maize_yellow', [], 15).measuredMoisturePct).toBe(15)
    expect(aLot('maize_yellow', [anAssay('moisture', 13)], 15).measuredMoisturePct).toBe(13)
    expect(aLot('maize_yellow').measuredMoisturePct).toBeNull()
  })

  test.prop([fc.double({ min: 0, max: 60, noNaN: true }), fc.constantFrom(...INGREDIENTS.map(({ key }) => key))])(
    'leaves what is in the dry matter as it was',
    (moisturePct, key) => {
      const [dry, wet] = [aLot(key), aLot(key, [], moisturePct)]
      for (const nutrient of NUTRIENT_IDS) {
        if (nutrient === 'DM' || dry.values[nutrient].value === null) continue
        const before = known(dry, nutrient).value / known(dry, 'DM').value
        expect(known(wet, nutrient).value / (100 - moisturePct)).toBeCloseTo(before, 8)
      }
    },
  )
})

describe('measured protein', () => {
  it('replaces the book and takes the amino acids along in proportion', () => {
    const maize = aLot('maize_yellow', [anAssay('CP', 7.29)])
    expect(known(maize, 'CP')).toMatchObject({ value: 7.29, knownBy: 'measured' })
    expect(known(maize, 'Thr')).toMatchObject({ value: expect.closeTo(0.3 * 0.9, 12), knownBy: 'worked-out' })
    expect(known(maize, 'SID_Thr')).toMatchObject({ value: expect.closeTo(0.3 * 0.787 * 0.9, 12), knownBy: 'worked-out' })
    expect(known(maize, 'MetCys').value).toBeCloseTo(0.37 * 0.9, 12)
    // What rests on memory stays so: the digestibility of tryptophan is remembered.
    expect(known(maize, 'SID_Trp').knownBy).toBe('memory')
  })

  it('takes lysine of maize along a published line', () => {
    // ait 8(1):35, Table 4 (read): lysine of maize = 0.049 + 0.026 x protein; the book's own level is kept.
    const factor = (0.049 + 0.026 * 7.29) / (0.049 + 0.026 * 8.1)
    const maize = aLot('maize_yellow', [anAssay('CP', 7.29)])
    expect(known(maize, 'Lys')).toMatchObject({ value: expect.closeTo(0.24 * factor, 12), knownBy: 'worked-out' })
    expect(known(maize, 'SID_Lys').value).toBeCloseTo(0.24 * 0.797 * factor, 12)
    expect(known(maize, 'Lys').from.at(-1)).toMatchObject({ code: 'follows-regression', facts: { source: 'AIT-8-1-35-T4' } })
    // Standard error 0.018 about the line; the protein counts as exact here.
    expect(known(maize, 'Lys').sd).toBeCloseTo((0.24 * factor * 0.018) / (0.049 + 0.026 * 7.29), 12)
  })

  it('does not count moisture twice', () => {
    const maize = aLot('maize_yellow', [anAssay('CP', 8.1), anAssay('moisture', 14)])
    expect(known(maize, 'CP').value).toBe(8.1)
    expect(known(maize, 'Thr').value).toBeCloseTo(0.3, 12)
  })

  it('does not credit amino acids for nitrogen that may be urea', () => {
    const untested = aLot('omena_dagaa_meal', [anAssay('CP', 64)])
    expect(known(untested, 'CP').value).toBe(64)
    expect(known(untested, 'Lys').value).toBe(known(aLot('omena_dagaa_meal'), 'Lys').value)
    expect(codes(untested, 'Lys')).toContain('kept-urea-untested')
    expect(untested.flags).toContainEqual({ code: 'urea-untested', facts: { ingredientKey: 'omena_dagaa_meal' } })
  })

  it('caps protein at the book and keeps amino acids when urea is found', () => {
    const found = aLot('soybean_meal_44', [anAssay('CP', 50), anAssay('urea', 1)])
    expect(known(found, 'CP').value).toBe(44)
    expect(known(found, 'Lys').value).toBe(2.675)
    expect(found.flags.map(({ code }) => code)).toContain('urea-found')
  })

  it('follows protein when the urea test is clean', () => {
    const clean = aLot('soybean_meal_44', [anAssay('CP', 46.2), anAssay('urea', 0)])
    expect(known(clean, 'Lys').value).toBeCloseTo(2.675 * 1.05, 10)
    expect(clean.flags).toEqual([])
  })

  it('credits less for less protein, urea test or not', () => {
    expect(known(aLot('soybean_meal_44', [anAssay('CP', 39.6)]), 'Lys').value).toBeCloseTo(2.675 * 0.9, 10)
  })
})

describe('other measured values', () => {
  it('scales energy and all organic matter by measured ash, and leaves minerals', () => {
    const fish = aLot('fish_meal_local_50', [anAssay('ash', 30)])
    const book = aLot('fish_meal_local_50')
    const factor = (known(book, 'DM').value - 30) / (known(book, 'DM').value - known(book, 'ash').value)
    expect(known(fish, 'AME').value).toBeCloseTo(known(book, 'AME').value * factor, 8)
    expect(known(fish, 'CP').value).toBeCloseTo(known(book, 'CP').value * factor, 10)
    expect(known(fish, 'Ca').value).toBe(known(book, 'Ca').value)
    expect(codes(fish, 'AME')).toContain('follows-organic-matter')
  })

  it('thins everything by sand that was measured alone', () => {
    const sandy = aLot('omena_dagaa_meal', [anAssay('AIA', 10)])
    const book = aLot('omena_dagaa_meal')
    expect(known(sandy, 'Ca').value).toBeCloseTo(known(book, 'Ca').value * 0.9, 10)
    expect(known(sandy, 'ash').value).toBeCloseTo(known(book, 'ash').value * 0.9 + 10, 10)
    expect(known(sandy, 'CP').value).toBeLessThan(known(book, 'CP').value)
    expect(sandy.contaminants.AIA).toMatchObject({ value: 10, unit: '%', knownBy: 'measured' })
  })

  it('lets available phosphorus, linoleic acid and digestible lysine keep their share', () => {
    const maize = aLot('maize_yellow', [anAssay('totP', 0.3), anAssay('EE', 4.092), anAssay('Lys', 0.22)])
    expect(known(maize, 'avP').value).toBeCloseTo((0.095 * 0.3) / 0.27, 12)
    expect(known(maize, 'LA').value).toBeCloseTo(1.544 * 1.1, 10)
    expect(known(maize, 'SID_Lys').value).toBeCloseTo(0.22 * 0.797, 10)
  })

  it('counts below detection as nothing towards a minimum and as the detection limit of a poison', () => {
    const lot = aLot('maize_yellow', [
      anAssay('Lys', 0.05, { belowDetection: true }),
      anAssay('aflatoxin_total', 4, { belowDetection: true }),
    ])
    expect(known(lot, 'Lys')).toMatchObject({ value: 0, knownBy: 'below-detection' })
    expect(lot.contaminants.aflatoxin_total).toMatchObject({ value: 4, knownBy: 'below-detection' })
  })

  it('reads aflatoxin in mg/kg and ug/kg alike', () => {
    const lot = aLot('maize_yellow', [anAssay('aflatoxin_B1', 0.012, { unit: 'mg/kg' })])
    expect(lot.contaminants.aflatoxin_B1).toMatchObject({ value: 12, unit: 'ug/kg' })
  })
})

describe('what a mix counts', () => {
  const worst = worstCases(INGREDIENTS)

  it('says unknown with the largest book value of the category as worst case', () => {
    const contents = contentsForMix(aLot('limestone'), worst)
    // The only minerals with a book value for ash decide; ingredients.csv, category mineral.
    const largest = Math.max(
      ...INGREDIENTS.filter(({ category }) => category === 'mineral').flatMap(({ book }) =>
        book.filter(({ nutrient }) => nutrient === 'ash').map(({ value }) => value),
      ),
    )
    expect(contents.ash).toEqual({ unknown: true, worstCaseMax: largest })
    expect(contents.Ca).toBe(known(aLot('limestone'), 'Ca').value)
  })

  it('has no worst case where nobody knows one', () => {
    expect(contentsForMix(aLot('limestone')).ash).toEqual({ unknown: true })
  })

  it('does not let a structural zero weaken a sum', () => {
    expect(weakestKnownBy(['measured', 'structural-zero', 'book'])).toBe('book')
    expect(weakestKnownBy(['structural-zero', 'structural-zero'])).toBe('structural-zero')
    expect(weakestKnownBy(['book', 'unknown', 'memory'])).toBe('unknown')
  })
})

describe('published arithmetic', () => {
  it('gives the electrolyte balance of Mongin 1981 (from memory)', () => {
    expect(electrolyteBalance(0.18, 0.8, 0.2)).toBeCloseTo(226.5, 1)
  })

  it('gives the energy of Regulation 152/2009 Annex VII of a computed mix', () => {
    // Common practice, no source: 70 % maize and 30 % soya meal by the book.
    const share = { maize_yellow: 0.7, soybean_meal_48: 0.3 }
    const content = (nutrient: 'CP' | 'EE' | 'starch' | 'sugars'): number =>
      Object.entries(share).reduce((sum, [key, part]) => sum + part * known(aLot(key), nutrient).value, 0)
    // By hand from ingredients.csv: protein 19.779, fat 2.904, starch 44.8 (+ soya's own), sugars 3.908 %.
    const soyaStarch = ingredient('soybean_meal_48').book.find(({ nutrient }) => nutrient === 'starch')?.value ?? Number.NaN
    const byHand = 0.1551 * 19.779 + 0.3431 * 2.904 + 0.1669 * (44.8 + 0.3 * soyaStarch) + 0.1301 * 3.908
    const energy = compoundFeedEnergyMjPerKg({
      proteinPct: content('CP'),
      fatPct: content('EE'),
      starchPct: content('starch'),
      sugarsPct: content('sugars'),
    })
    expect(energy).toBeCloseTo(byHand, 10)
    expect(12.0).toBeLessThan(energy ?? 0)
    // 1 MJ = 239.006 kcal (mill_practice.csv FOR-01).
    expect(KCAL_PER_MJ).toBeCloseTo(239.006, 3)
  })

  it('has no energy without starch', () => {
    expect(compoundFeedEnergyMjPerKg({ proteinPct: 18, fatPct: 4, starchPct: undefined, sugarsPct: 3 })).toBeUndefined()
  })
})
