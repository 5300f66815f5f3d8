import { describe, expect, it } from 'vitest'
import { digestibleShare, pricePerKgProtein } from '#core/quality/protein-price'
import { ingredient } from '../composition/builders.js'

describe('the digestible share of protein', () => {
  it('of soya cake is that of its seven printed digestibilities, each by its content', () => {
    // seed/reference/ingredients.csv, row soybean_cake_expeller, by hand: Lys 2.45 x 91, Met 0.54 x 93, Cys 0.60 x 83, Thr 1.50 x 88,
    // Arg 2.85 x 93, Ile 1.76 x 90, Val 1.83 x 88 %; tryptophan (0.52) has no digestibility.
    const digested = 2.45 * 91 + 0.54 * 93 + 0.6 * 83 + 1.5 * 88 + 2.85 * 93 + 1.76 * 90 + 1.83 * 88
    const share = digestibleShare(ingredient('soybean_cake_expeller').book)
    expect(share?.share).toBeCloseTo(digested / (2.45 + 0.54 + 0.6 + 1.5 + 2.85 + 1.76 + 1.83) / 100, 10)
    expect(share?.aminoAcids).toEqual(['Lys', 'Met', 'Cys', 'Thr', 'Arg', 'Ile', 'Val'])
  })

  it('says that it rests on memory where one of its figures does', () => {
    // seed/reference/ingredients.provenance.csv: sid_tryptophan_coef_pct of maize is from memory, all seven of soya cake were read.
    expect(digestibleShare(ingredient('maize_white').book)).toMatchObject({ knownBy: 'memory' })
    expect(digestibleShare(ingredient('soybean_cake_expeller').book)).toMatchObject({ knownBy: 'book' })
  })

  it('is unknown, not whole, where the reference has no digestibility', () => {
    expect(digestibleShare(ingredient('limestone').book)).toBeUndefined()
    expect(digestibleShare([])).toBeUndefined()
  })
})

describe('the price of a kilogram of protein', () => {
  it('is all that was paid by all the protein that came', () => {
    // By hand: 1,000 kg at 90 with 40 % and 3,000 kg at 100 with 45 %: 390,000 for 400 + 1,350 kg of protein.
    const lots = [
      { netKg: 1000, pricePerKg: 90, proteinPct: 40 },
      { netKg: 3000, pricePerKg: 100, proteinPct: 45 },
    ]
    expect(pricePerKgProtein(lots)).toBeCloseTo(390_000 / 1750, 10)
  })

  it('is unknown without protein', () => {
    expect(pricePerKgProtein([])).toBeUndefined()
    expect(pricePerKgProtein([{ netKg: 500, pricePerKg: 11, proteinPct: 0 }])).toBeUndefined()
  })
})
