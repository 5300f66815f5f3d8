import { describe, expect, test } from 'vitest'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate, type Messages } from '../../../admin/i18n/translate'
import { emptyOffer, draftLike, fewestOf, readOffer } from '../../../admin/resources/offers/offerDraft'
import {
  bagKg,
  daysTold,
  mostTold,
  packsTold,
  priceTold,
  stateTold,
  type Offer,
  type OfferWords,
} from '../../../admin/resources/offers/offerWords'
import { canAccess } from '../../../admin/providers/canAccess'
import { navigationFor } from '../../../admin/shell/navigation'

const wordsOf = (messages: Messages, language: 'en' | 'sw'): OfferWords => ({
  t: (key, facts) => translate(messages, key, facts),
  language,
  currency: 'KES',
})
const [english, swahili] = [wordsOf(en, 'en'), wordsOf(sw, 'sw')]
const plain = (text: string): string => text.replaceAll('\u00a0', ' ')

const offer: Offer = {
  id: 'o',
  number: 7,
  state: 'standing',
  supplierId: 's',
  supplierName: 'Bonde Oil Press',
  ingredientId: 'soybean_cake_expeller',
  ingredientNameEn: 'Soya cake',
  ingredientNameSw: 'Mashudu ya soya',
  pictogram: 'soya',
  pricePerKg: '95.0000',
  packKg: '50.000',
  fewestPacks: 10,
  fewestCost: '47500.00',
  mostKg: '4000.000',
  deliveryDays: 3,
  arrivesOn: '2026-12-01',
  validUntil: '2026-12-12',
  note: '',
  notedAt: '2026-11-22T08:20:00.000Z',
  notedBy: 'Manager',
  withdrawnAt: null,
  withdrawnBy: null,
  withdrawnReason: null,
  revision: 1,
}

describe('an offer in words', () => {
  test('has its price, bags, what there is, when it comes and how long it stands, in both languages', () => {
    const told = (words: OfferWords) =>
      [priceTold(offer, words), packsTold(offer, words), mostTold(offer, words), daysTold(offer, words), stateTold(offer, words)].map(plain)
    expect(told(english)).toEqual([
      'KES 95.00 a kg',
      'bags of 50 kg, at least 10 (500 kg, KES 47,500)',
      'at most 4,000 kg',
      'in 3 days',
      'stands until Sat 12 Dec 2026',
    ])
    expect(told(swahili)).toEqual([
      'KES 95.00 kwa kilo',
      'mifuko ya 50 kg, angalau 10 (500 kg, KES 47,500)',
      'isizidi 4,000 kg',
      'kwa siku 3',
      'inatumika hadi Jumamosi 12 Des 2026',
    ])
  })

  test('says what is not known, and does not count one bag as a fewest', () => {
    expect(plain(packsTold({ ...offer, fewestPacks: 1 }, english))).toBe('bags of 50 kg')
    expect(mostTold({ mostKg: null }, english)).toBe('not said')
    expect(daysTold({ deliveryDays: 0 }, english)).toBe('the same day')
    expect(daysTold({ deliveryDays: 1 }, english)).toBe('in 1 day')
  })

  test('says when it expired, or who withdrew it and why', () => {
    expect(stateTold({ ...offer, state: 'expired' }, english)).toBe('expired on Sat 12 Dec 2026')
    const gone = {
      ...offer,
      state: 'withdrawn' as const,
      withdrawnAt: '2026-11-28T21:30:00.000Z',
      withdrawnBy: 'Amina',
      withdrawnReason: 'sold',
    }
    // half past nine in the evening in UTC is the next day at the mill
    expect(stateTold(gone, english)).toBe('withdrawn on Sun 29 Nov 2026 by Amina: sold')
  })

  test('names bags without noughts behind the point', () => {
    expect([bagKg('50.000'), bagKg('22.500'), bagKg('0.125'), bagKg(30_000)].map(plain)).toEqual([
      '50 kg',
      '22.5 kg',
      '0.125 kg',
      '30,000 kg',
    ])
  })
})

describe('an offer as it is typed', () => {
  const typed = {
    ...emptyOffer('s'),
    ingredientId: 'salt',
    pricePerKg: '24.50',
    deliveryDays: '0',
    validUntil: '2026-12-12',
    note: ' ',
  }

  test('is sent as the mill takes it; what was left empty is one bag, and not known', () => {
    expect(readOffer(typed)).toEqual({
      kind: 'body',
      body: {
        supplierId: 's',
        ingredientId: 'salt',
        pricePerKg: '24.50',
        packKg: '50',
        fewestPacks: 1,
        mostKg: null,
        deliveryDays: 0,
        validUntil: '2026-12-12',
        note: '',
      },
    })
  })

  test.each([
    ['nothing', emptyOffer(''), ['ingredientId', 'supplierId', 'validUntil', 'pricePerKg', 'deliveryDays']],
    ['a price of nothing', { ...typed, pricePerKg: '0' }, ['pricePerKg']],
    ['a comma that can be read two ways', { ...typed, pricePerKg: '24,5' }, ['pricePerKg']],
    ['half a bag', { ...typed, fewestPacks: '1.5' }, ['fewestPacks']],
    ['days below nothing', { ...typed, deliveryDays: '-1' }, ['deliveryDays']],
    ['words for kilograms', { ...typed, mostKg: 'much' }, ['mostKg']],
  ])('with %s is not sent, and the fields are named', (_what, draft, fields) => {
    const reading = readOffer(draft)
    expect(reading.kind === 'faults' ? Object.keys(reading.faults) : []).toEqual(fields)
  })

  test('reads back what the fewest bags come to', () => {
    expect(fewestOf({ ...typed, fewestPacks: '10' })).toEqual({ bags: 10, packKg: 50, money: 12_250 })
    expect(fewestOf({ ...typed, pricePerKg: '' })).toBeNull()
  })

  test('starts from another offer, but for the day until which it stands', () => {
    const draft = draftLike(offer)
    expect(draft).toMatchObject({ pricePerKg: '95', packKg: '50', fewestPacks: '10', mostKg: '4000', deliveryDays: '3', validUntil: '' })
    expect(readOffer({ ...draft, validUntil: '2026-12-20' }).kind).toBe('body')
  })
})

test('the pages of offers are on the way of those who buy, and changed by those who may', () => {
  const all = () => true
  const paths = (role: Parameters<typeof navigationFor>[0]) =>
    Object.values(navigationFor(role, all)).flatMap((entries) => entries.map(({ path }) => path))
  for (const role of ['manager', 'store-keeper', 'nutritionist'] as const) expect(paths(role)).toContain('/supplier-offers')
  for (const role of ['laboratory', 'mixer-operator', 'counter-clerk'] as const) {
    expect(paths(role)).not.toContain('/supplier-offers')
    expect(canAccess(role, 'list', 'supplier-offers')).toBe(false)
  }
  expect(canAccess('nutritionist', 'list', 'supplier-offers')).toBe(true)
  expect(canAccess('nutritionist', 'create', 'supplier-offers')).toBe(false)
  expect(canAccess('store-keeper', 'withdraw', 'supplier-offers')).toBe(true)
})
