import { describe, expect, test } from 'vitest'
import {
  draftOf,
  draftOfRefused,
  emptyDraft,
  keepingOfDraft,
  netOfDraft,
  noteDifferenceOf,
  owedOf,
  readDraft,
  sackWeight,
  tooWet,
  type ReceiveDraft,
} from '../../../admin/resources/lots/receiveDraft'

const NOW = '2026-11-25T08:00:00.000Z'
const draft = (changes: Partial<ReceiveDraft> = {}): ReceiveDraft => ({
  ...emptyDraft(),
  ingredientId: 'maize_white',
  category: 'cereal',
  supplierId: '01a2136b-a23d-7481-a10f-f7c09a36a97a',
  netKg: '5,420.5',
  pricePerKg: '41.5',
  ...changes,
})

const faultsOf = (changes: Partial<ReceiveDraft>) => {
  const reading = readDraft(draft(changes), NOW)
  return reading.kind === 'faults' ? reading.faults : {}
}

describe('a delivery that the mill refused', () => {
  const typed = draft({ key: 'k1', receivedAt: '2026-11-26T08:00:00.000Z' })
  const refusedFor = (path: string) => draftOfRefused({ draft: typed, refusal: { fields: [{ path }] } })

  test('keeps the moment at which it came, under a key of its own', () => {
    expect(refusedFor('netKg')).toMatchObject({ netKg: '5,420.5', receivedAt: typed.receivedAt })
    expect(refusedFor('netKg').key).not.toBe('k1')
  })

  test('takes the moment anew where it was told by a clock that was wrong: else it would be refused for ever', () => {
    const reading = readDraft(refusedFor('receivedAt'), NOW)
    expect(reading.kind === 'body' && reading.body.receivedAt).toBe(NOW)
  })
})

describe('a delivery as it is typed', () => {
  test('is sent as plain decimals, with what was left empty as nothing', () => {
    const reading = readDraft(draft({ bags: '60', moisturePct: '' }), NOW)
    expect(reading.kind === 'body' && reading.body).toMatchObject({
      netKg: '5420.5',
      pricePerKg: '41.5',
      bags: 60,
      intakeMoisturePct: null,
      expiresOn: null,
      medicationDeclared: false,
      medication: null,
      receivedAt: NOW,
    })
  })

  test('keeps the moment at which it was first sent', () => {
    const first = '2026-11-25T07:00:00.000Z'
    const reading = readDraft(draft({ receivedAt: first }), NOW)
    expect(reading.kind === 'body' && reading.body.receivedAt).toBe(first)
  })

  test('is not sent with nothing, zero, a doubtful comma or text for a weight', () => {
    expect(faultsOf({ netKg: '' })).toEqual({ netKg: 'field.empty' })
    expect(faultsOf({ netKg: '0' })).toEqual({ netKg: 'field.above0' })
    expect(faultsOf({ netKg: '1,5' })).toEqual({ netKg: 'field.notANumber' })
    expect(faultsOf({ pricePerKg: 'forty' })).toEqual({ pricePerKg: 'field.notANumber' })
    expect(faultsOf({ bags: '2.5' })).toEqual({ bags: 'field.notANumber' })
  })

  test('of a premix needs an answer about medicine, and a named medicine its strength', () => {
    const premix = { ingredientId: 'premix_generic', category: 'premix' }
    expect(faultsOf(premix)).toEqual({ medicationDeclared: 'field.chooseOne' })
    expect(faultsOf({ ...premix, medicine: 'named' })).toEqual({
      'medication.active': 'field.empty',
      'medication.strengthPct': 'field.empty',
    })
    const read = (medicine: ReceiveDraft['medicine']) =>
      readDraft(draft({ ...premix, medicine, active: 'salinomycin', strengthPct: '12' }), NOW)
    expect(read('named')).toMatchObject({ body: { medicationDeclared: true, medication: { active: 'salinomycin', strengthPct: 12 } } })
    expect(read('none')).toMatchObject({ body: { medicationDeclared: true, medication: null } })
    expect(read('unread')).toMatchObject({ body: { medicationDeclared: false, medication: null } })
  })
})

test('kilograms a sack are worked out, and looked at twice when no sack weighs that', () => {
  expect(sackWeight(draft({ netKg: '5400', bags: '60' }))).toEqual({ kg: 90, odd: false })
  expect(sackWeight(draft({ netKg: '5400', bags: '6' }))).toEqual({ kg: 900, odd: true })
  expect(sackWeight(draft({ bags: '' }))).toBeNull()
})

test('maize above 13.5 % moisture is warned of (main quality risk in ingredients.csv), other kinds and drier maize are not', () => {
  expect(tooWet(draft({ moisturePct: '14.2' }))).toBe('14.2')
  expect(tooWet(draft({ moisturePct: '13.5' }))).toBeNull()
  expect(tooWet(draft({ ingredientId: 'limestone', moisturePct: '14.2' }))).toBeNull()
})

describe('a delivery weighed with its lorry', () => {
  const weighed = { weighedBy: 'gross', netKg: '', grossKg: '12,480', tareKg: '7020', bags: '60', emptyBagG: '1050' } as const

  test('is sent with the net weight worked out: gross less tare less 60 sacks of 1,050 g', () => {
    expect(netOfDraft(draft(weighed))).toBe(5_397_000)
    const reading = readDraft(draft(weighed), NOW)
    expect(reading.kind === 'body' && reading.body).toMatchObject({
      netKg: '5397.000',
      weighing: { grossKg: '12480.000', tareKg: '7020.000', emptyBagG: 1050 },
    })
    expect(sackWeight(draft(weighed))?.kg).toBeCloseTo(89.95, 6)
  })

  test('is not sent when the tare is not below the gross, or an empty sack stands there without a count', () => {
    expect(faultsOf({ ...weighed, tareKg: '12480' })).toEqual({ 'weighing.tareKg': 'receiving.tareAbove' })
    expect(faultsOf({ ...weighed, tareKg: '' })).toEqual({ 'weighing.tareKg': 'field.empty' })
    expect(faultsOf({ ...weighed, grossKg: '0' })).toEqual({ 'weighing.grossKg': 'field.above0' })
    expect(faultsOf({ ...weighed, bags: '' })).toEqual({ bags: 'field.empty' })
    expect(faultsOf({ ...weighed, bags: '0' })).toEqual({ bags: 'field.above0' })
  })

  test('keeps no figures of the other way of weighing', () => {
    const reading = readDraft(draft({ ...weighed, weighedBy: 'net', netKg: '5400' }), NOW)
    expect(reading.kind === 'body' && reading.body).toMatchObject({ netKg: '5400', weighing: null })
  })
})

test('the difference to the delivery note is told once both weights are there', () => {
  expect(noteDifferenceOf(draft({ netKg: '5397', noteKg: '5460' }))).toEqual({ difference: -63_000, pct: expect.closeTo(-1.1538, 4) })
  expect(noteDifferenceOf(draft({ netKg: '5397' }))).toBeNull()
  expect(noteDifferenceOf(draft({ netKg: '', noteKg: '5460' }))).toBeNull()
})

describe('terms of an agreed moisture', () => {
  const terms = { netKg: '10000', pricePerKg: '40', terms: 'agreed', agreedPct: '15.5', moisturePct: '25' } as const

  test('show what is owed both ways (D. Karki, South Dakota State University Extension 2019: 25 to 15.5 % is 11.24 % less)', () => {
    expect(owedOf(draft(terms))).toEqual({
      delivered: { kg: '10000.000', money: '400000.00' },
      agreed: { kg: '8875.740', money: '355029.60' },
    })
    expect(owedOf(draft({ ...terms, terms: 'delivered' }))?.agreed).toBeNull()
  })

  test('need a moisture, and go to the mill as terms', () => {
    expect(faultsOf({ ...terms, moisturePct: '' })).toEqual({ intakeMoisturePct: 'receiving.payNeedsMoisture' })
    expect(faultsOf({ ...terms, moisturePct: '0' })).toEqual({ intakeMoisturePct: 'receiving.payNeedsMoisture' })
    expect(faultsOf({ ...terms, agreedPct: '' })).toEqual({ agreedMoisturePct: 'field.empty' })
    expect(readDraft(draft(terms), NOW)).toMatchObject({ body: { agreedMoisturePct: 15.5, pricePerKg: '40' } })
    expect(readDraft(draft({ ...terms, terms: 'delivered' }), NOW)).toMatchObject({ body: { agreedMoisturePct: null } })
  })
})

test('what was looked at goes along, what was not stays out, and a good point has no note', () => {
  const looks = { smell: { good: true, note: 'typed before' }, insects: { good: false, note: ' weevils ' } }
  expect(readDraft(draft({ looks }), NOW)).toMatchObject({
    body: {
      looks: [
        { point: 'smell', good: true, note: '' },
        { point: 'insects', good: false, note: 'weevils' },
      ],
    },
  })
})

test('wet maize keeps a week, as the mill will say too', () => {
  expect(keepingOfDraft(draft({ shelfLifeDays: 180, moisturePct: '14.2' }))).toEqual({ days: 7, rule: 'wet-grain' })
  expect(keepingOfDraft(draft({ shelfLifeDays: 180, moisturePct: '13.1' }))).toEqual({ days: 180, rule: 'STO-06' })
  expect(keepingOfDraft(draft({ ingredientId: '' }))).toBeNull()
})

test('a delivery to be put right is typed again as it stands in the books', () => {
  const body = readDraft(
    draft({
      weighedBy: 'gross',
      grossKg: '12480',
      tareKg: '7020',
      bags: '60',
      emptyBagG: '1050',
      noteKg: '5460',
      terms: 'agreed',
      agreedPct: '13',
      moisturePct: '13.4',
      looks: { smell: { good: false, note: 'sour' } },
    }),
    NOW,
  )
  if (body.kind !== 'body') throw new Error('the draft is whole')
  const { looks, weighing, noteKg, intakeMoisturePct, agreedMoisturePct, bags } = body.body
  const lot = {
    ...body.body,
    weighing: weighing && { ...weighing, emptyBagG: weighing.emptyBagG },
    noteKg: '5460.000',
    payment: { agreedMoisturePct, pricePerKg: '41.5000', paidKg: '', money: '', moneyAsDelivered: '' },
    expiryRule: 'STO-06',
    expiresOn: '2027-05-24',
  } as unknown as Parameters<typeof draftOf>[0]
  const again = readDraft({ ...draftOf(lot, { category: 'cereal', shelfLifeDays: 180 }), key: 'x' }, NOW)
  expect(again).toMatchObject({
    body: { looks, weighing, noteKg, intakeMoisturePct, agreedMoisturePct, bags, pricePerKg: '41.5', expiresOn: null },
  })
})
