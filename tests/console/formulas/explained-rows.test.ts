import { describe, expect, test } from 'vitest'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate, type Messages } from '../../../admin/i18n/translate'
import {
  certaintyTold,
  failedTold,
  firstChange,
  limitRows,
  moveTold,
  noPurchaseTold,
  priceRows,
  purchaseTold,
} from '../../../admin/resources/formula-versions/explainedRows'
import type { LimitWords } from '../../../admin/resources/formula-versions/limitWords'

const wordsOf = (messages: Messages): LimitWords => ({ t: (key, facts) => translate(messages, key, facts), nameOf: (id) => id })
const told = { words: wordsOf(en), language: 'en' as const, currency: 'KES' }
const plain = (text: string | undefined): string => (text ?? '').replaceAll('\u00a0', ' ')

const protein = { row: 'nutrient:CP:min', limit: { kind: 'nutrient', nutrient: 'CP', side: 'min', value: 16.5, unit: '%' }, unit: '%' }
// the figures of the sentence that the design gives for this picture
const step = { ...protein, from: 16.5, to: 16.4, savesPerTonne: 64, holdsTo: 16.2 }
const holds = (change: Partial<typeof step> | { holdsTo: null }): string =>
  plain(limitRows({ limits: [{ ...step, ...change }] }, told.words, 'KES')[0]?.told)

describe('what a limit costs', () => {
  test('is told with how far it holds', () => {
    expect(holds({})).toBe('from 16.5 % to 16.4 % saves KES 64 a tonne; holds down to 16.2 %.')
    expect(holds({ from: 16.3, to: 16.4, holdsTo: 16.8 })).toBe('from 16.3 % to 16.4 % saves KES 64 a tonne; holds up to 16.8 %.')
    // as the solver gives it: endless decimals
    expect(holds({ holdsTo: 15.4514429139 })).toBe('from 16.5 % to 16.4 % saves KES 64 a tonne; holds down to 15.5 %.')
    expect(holds({ from: 15, to: 15.9999999999, holdsTo: 16.8 })).toBe('from 15.0 % to 16.0 % saves KES 64 a tonne; holds up to 16.8 %.')
    expect(holds({ holdsTo: null })).toBe('from 16.5 % to 16.4 % saves KES 64 a tonne; holds however far.')
    expect(holds({ holdsTo: 16.45 })).toBe('from 16.5 % to 16.4 % saves KES 64 a tonne; the next step saves less.')
    expect(holds({ holdsTo: 16.4 })).toBe('from 16.5 % to 16.4 % saves KES 64 a tonne')
  })

  test('stands dearest first, without what rounds to nothing', () => {
    const limits = [step, { ...step, row: 'b', savesPerTonne: 90 }, { ...step, row: 'c', savesPerTonne: 0.2 }]
    expect(limitRows({ limits }, told.words, 'KES').map(({ key }) => key)).toEqual(['b', 'nutrient:CP:min'])
  })
})

const named = (name: string) => ({
  ingredientId: name,
  ingredientNameEn: name,
  ingredientNameSw: name,
})
const used = {
  ...named('sunflower cake'),
  used: true,
  pricePerKg: 34,
  staysFrom: 31.2,
  staysTo: 38.9,
  staysKnown: true,
  entersBelow: null,
}
const unused = {
  ...named('cottonseed cake'),
  used: false,
  pricePerKg: 33,
  staysFrom: null,
  staysTo: null,
  staysKnown: true,
  entersBelow: 27.4,
}

describe('when the mix changes', () => {
  test('is told between both prices, below one, and never', () => {
    const prices = [unused, used, { ...used, ...named('maize'), staysKnown: false }, { ...unused, entersBelow: -2 }]
    expect(priceRows({ prices }, told).map(({ sentence }) => plain(sentence))).toEqual([
      'sunflower cake stays in between KES 31.20 and KES 38.90; today KES 34.00.',
      'maize changes a little with every price, because certainty is asked for; today KES 34.00.',
      'cottonseed cake enters below KES 27.40; today KES 33.00.',
      'cottonseed cake does not enter at any price; today KES 33.00.',
    ])
  })

  test('names the price that is nearest to a change in proportion', () => {
    // 34.00 to 31.20 is 8.2 % down, to 38.90 14.4 % up; 33.00 to 27.40 is 17.0 % down
    expect(plain(firstChange({ prices: [unused, used] }, told))).toBe(
      'The mix changes first when sunflower cake falls below KES 31.20 a kg.',
    )
    expect(firstChange({ prices: [{ ...used, staysKnown: false }] }, told)).toBe('No change of one price alone changes the mix.')
  })
})

test('where certainty moves the mix with every price, only what comes in has a price, and the rest says that it drifts', () => {
  const prices = [unused, { ...used, staysKnown: false }]
  expect(priceRows({ prices }, told).map(({ drifts }) => drifts)).toEqual([true, false])
  expect(plain(firstChange({ prices }, told))).toBe('cottonseed cake comes in first, below KES 27.40 a kg.')
})

test('certainty is told in all and by limit', () => {
  const certainty = {
    costAtMeanPerTonne: 47_900,
    costPerTonne: 48_210,
    limits: [{ nutrient: 'CP', side: 'min' as const, asked: 0.95, savesPerTonne: 300 }],
  }
  const found = certaintyTold({ certainty }, told.words, 'KES')
  expect(plain(found?.sentence)).toBe('Certainty costs KES 310 a tonne: KES 48,210 with it, KES 47,900 on average.')
  expect(found?.rows.map(({ sentence }) => plain(sentence))).toEqual(['protein at least, 19 in 20: KES 300 a tonne.'])
  expect(certaintyTold({ certainty: null }, told.words, 'KES')).toBeNull()
})

describe('what would make a mix possible', () => {
  test('is a change that can be set, in both languages', () => {
    const move = { ...protein, from: 21, to: 19.8 }
    expect({ ...moveTold(move, told.words), sentence: plain(moveTold(move, told.words).sentence) }).toEqual({
      row: 'nutrient:CP:min',
      to: 19.8,
      settable: true,
      sentence: 'Lower protein from 21.0 % to 19.8 %',
    })
    expect(plain(moveTold(move, wordsOf(sw)).sentence)).toBe('Punguza protini kutoka 21.0 % hadi 19.8 %')
    const fibre = { row: 'f', limit: { kind: 'nutrient', nutrient: 'CF', side: 'max' }, unit: '%', from: 5, to: 5.4 }
    expect(plain(moveTold(fibre, told.words).sentence)).toBe('Let fibre rise from 5.0 % to 5.4 %')
  })

  test('is no button where it is what is in store', () => {
    const stock = { row: 's', limit: { kind: 'stock', lotNumber: 41, ingredientId: 'maize' }, unit: 'kg', from: 120, to: 300 }
    const { settable, sentence } = moveTold(stock, told.words)
    expect(settable).toBe(false)
    expect(plain(sentence)).toBe('Have 300 kg of lot 41, maize, instead of 120 kg')
  })

  const offer = {
    id: 'o',
    number: 3,
    supplierId: 's',
    supplierName: 'Bonde Millers',
    packs: 12,
    packKg: '50.000',
    validUntil: '2026-12-12',
    arrivesOn: '2026-11-30',
  }
  const soya = {
    ...named('soya cake'),
    kg: '600.000',
    leftKg: '310.000',
    pricePerKg: '70.0000',
    cost: '42000.00',
    offer,
    pricedOn: null,
  }
  const bought = { items: [soya], total: '42000.00', arrivesOn: '2026-11-30', neededOn: null, late: null, proven: true }
  const toldOf = (purchase: Partial<typeof bought> | object, language: 'en' | 'sw' = 'en') => {
    const words = language === 'en' ? told : { ...told, words: wordsOf(sw), language }
    const found = purchaseTold({ purchase: { ...bought, ...purchase } }, words)
    return {
      rows: found?.rows.map(({ sentence }) => plain(sentence)),
      total: plain(found?.total),
      notes: found?.notes.map(plain),
    }
  }

  test('is a purchase in whole bags with who, money, when and what is left over, in both languages', () => {
    expect(toldOf({})).toEqual({
      rows: ['Buy 12 bags of 50 kg of soya cake from Bonde Millers, KES 42,000, delivered by Mon 30 Nov 2026; 310 kg are left over'],
      total: 'Together KES 42,000.',
      notes: ['Ordered today, all that is on offer is here by Mon 30 Nov 2026.'],
    })
    expect(toldOf({}, 'sw').rows).toEqual([
      'Nunua mifuko 12 ya 50 kg ya soya cake kutoka kwa Bonde Millers, KES 42,000, italetwa kufikia Jumatatu 30 Nov 2026; 310 kg zitabaki',
    ])
    const one = { ...soya, kg: '22.500', leftKg: '0.000', offer: { ...offer, packs: 1, packKg: '22.500' } }
    expect(toldOf({ items: [one] }).rows).toEqual([
      'Buy 1 bag of 22.5 kg of soya cake from Bonde Millers, KES 42,000, delivered by Mon 30 Nov 2026; nothing is left over',
    ])
    expect(toldOf({ items: [{ ...soya, leftKg: '3.250' }] }).rows?.[0]).toMatch(/; 3\.3 kg are left over$/)
  })

  test('without an offer says of which day the price is', () => {
    const fish = { ...soya, ...named('fish meal'), kg: '120.000', leftKg: '0.000', cost: '14400.00', offer: null }
    const alone = { arrivesOn: null, total: '14400.00' }
    expect(toldOf({ ...alone, items: [{ ...fish, pricedOn: '2026-07-01' }] })).toEqual({
      rows: ['Buy 120.0 kg of fish meal for KES 14,400; no offer: at the replacement price of Wed 1 Jul 2026'],
      total: 'Together KES 14,400.',
      notes: [],
    })
    expect(toldOf({ ...alone, items: [fish] }).rows?.[0]).toContain('of which the day is not known')
    expect(purchaseTold({ purchase: null }, told)).toBeNull()
  })

  test('says whether it comes too late, and where a cheaper one may exist', () => {
    const late = toldOf({ neededOn: '2026-11-29', late: true, proven: false }).notes ?? []
    expect(late.slice(1)).toEqual([
      'That is later than Sun 29 Nov 2026, when the first order that waits for this feed is due.',
      'A cheaper purchase may exist; the search ran out of time.',
    ])
    expect(toldOf({ neededOn: '2026-12-01', late: false }).notes?.[1]).toBe(
      'The first order that waits for this feed is due on Tue 1 Dec 2026.',
    )
  })

  test('says why nothing helps', () => {
    const why = (noPurchase: Parameters<typeof noPurchaseTold>[0]['noPurchase']) => plain(noPurchaseTold({ noPurchase }, told.words) ?? '')
    expect(why({ reason: 'not-enough', limits: [{ kind: 'batch', value: 1000, unit: 'kg' }, protein.limit] })).toBe(
      'No purchase helps: even with everything that is on offer these limits cannot hold together: protein at least 16.5 %.',
    )
    expect(why({ reason: 'not-enough', limits: [] })).toContain('too little')
    expect(why({ reason: 'nothing-to-buy', limits: [] })).toContain('No supplier has an offer')
    expect(why({ reason: 'failed', limits: [] })).toContain('could not be worked out')
    expect(noPurchaseTold({ noPurchase: null }, told.words)).toBeNull()
  })
})

test('what cannot be explained says why', () => {
  expect(failedTold('whole-amounts', told.words)).toContain('whole bags')
  expect(failedTold('time-limit', told.words)).toContain('too long')
  expect(failedTold('no-answer', told.words)).toContain('did not hold')
})
