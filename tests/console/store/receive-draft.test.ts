import { describe, expect, test } from 'vitest'
import { emptyDraft, readDraft, sackWeight, tooWet, type ReceiveDraft } from '../../../admin/resources/lots/receiveDraft'

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
