import { describe, expect, test } from 'vitest'
import { ROLES } from '#contract/access'
import { GATE_REASONS, GATE_VERDICTS, GatePriceBody, type GatePriceView } from '#contract/gate-price'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate } from '../../../admin/i18n/translate'
import { canAccess } from '../../../admin/providers/canAccess'
import { emptyGate, readGate, receiptOf } from '../../../admin/resources/gate-price/gateDraft'
import { gateSentence, sparedSentence } from '../../../admin/resources/gate-price/gateSentence'
import { readDraft } from '../../../admin/resources/lots/receiveDraft'
import { MAY } from '../../platform/access-matrix/policy'

const typed = { ...emptyGate, ingredientId: 'maize_white', kg: '3,000', pricePerKg: '34.5', moisturePct: '12' }
const maize = {
  id: 'maize_white',
  category: 'cereal',
  shelfLifeDays: 180,
} as Parameters<typeof receiptOf>[1]

test('the page is for those whose question the mill answers', () => {
  const shown = ROLES.filter((role) => canAccess(role, 'read', 'gate-price'))
  expect(shown.toSorted()).toEqual([...(MAY['POST /gate-price'] ?? [])].toSorted())
})

describe('a truck as it is typed', () => {
  test('becomes a question that the mill takes', () => {
    const { body, faults } = readGate(typed)
    expect(faults).toEqual({})
    expect(GatePriceBody.parse(body)).toMatchObject({
      kg: '3000',
      pricePerKg: '34.5',
      moisturePct: 12,
      supplierId: null,
      urea: null,
      days: 14,
    })
  })

  test('by sacks where no weight is known', () => {
    const sacks = { ...typed, kg: '', bags: '40', bagKg: '90' }
    expect(GatePriceBody.parse(readGate(sacks).body)).toMatchObject({ kg: null, bags: 40, bagKg: '90' })
    expect(receiptOf(sacks, maize).netKg).toBe('3600')
  })

  test('names each field that is missing or no figure, and sends nothing', () => {
    expect(readGate({ ...emptyGate, days: '' })).toEqual({
      body: null,
      faults: { ingredientId: 'field.chooseOne', kg: 'field.empty', pricePerKg: 'field.empty', days: 'field.empty' },
    })
    expect(readGate({ ...typed, kg: '1,5', sandPct: 'much' }).faults).toEqual({ kg: 'field.notANumber', sandPct: 'field.notANumber' })
  })

  test('asks for what is missing of the sacks, not for the weight, where sacks are counted', () => {
    expect(readGate({ ...typed, kg: '', bags: '40' }).faults).toEqual({ bagKg: 'field.empty' })
    expect(readGate({ ...typed, kg: '', bagKg: '90' }).faults).toEqual({ bags: 'field.empty' })
  })

  test('is carried over to receiving, where only the supplier is still asked for', () => {
    const receipt = receiptOf(typed, maize)
    expect(readDraft(receipt, '2026-08-04T05:00:00.000Z')).toEqual({ kind: 'faults', faults: { supplierId: 'field.chooseOne' } })
    const known = readDraft({ ...receipt, supplierId: '00000000-0000-4000-8000-000000000001' }, '2026-08-04T05:00:00.000Z')
    expect(known).toMatchObject({ kind: 'body', body: { netKg: '3000', pricePerKg: '34.5', intakeMoisturePct: 12 } })
  })
})

const view = {
  verdict: 'take',
  reason: null,
  kg: '3000.000',
  askedPerKg: '34.5000',
  days: 14,
  whole: 36.2,
  breakEven: 38,
  usedKg: '3000.000',
  spared: '5100.00',
} as GatePriceView

describe('the answer in a sentence', () => {
  const words = (messages: typeof en | typeof sw) => ({
    t: (key: string, facts = {}) => translate(messages, key, facts).replaceAll('\u00a0', ' '),
    currency: 'KES',
  })

  test('says what to do, at which price, and what is asked', () => {
    const told = (changes: Partial<GatePriceView>) =>
      gateSentence({ ...view, ...changes } as GatePriceView, words(en)).replaceAll('\u00a0', ' ')
    expect(told({})).toBe('Take it: all of it is worth up to KES 36.20 a kg, and KES 34.50 is asked.')
    expect(told({ verdict: 'offer', whole: 30 })).toBe('Offer at most KES 30.00 a kg: KES 34.50 is asked.')
    expect(told({ verdict: 'part', whole: null, usedKg: '1200.000' })).toBe(
      // at another price it may be more: wet maize of which the mill would take 1,876 kg for nothing is wanted by 246 kg at 36
      'At KES 34.50 a kg take at most 1,200 kg of the 3,000 kg: at that price the mill has no use for the rest in 14 days.',
    )
    expect(told({ verdict: 'not-wanted', whole: null, breakEven: 20 })).toBe(
      'Not wanted at KES 34.50: above KES 20.00 a kg no feed takes any of it.',
    )
    expect(told({ verdict: 'not-wanted', whole: null, breakEven: null })).toContain('at any price')
    expect(sparedSentence(view, words(en))?.replaceAll('\u00a0', ' ')).toBe(
      'At KES 34.50 the mill uses 3,000 kg in 14 days and spares KES 5,100.00.',
    )
    expect(sparedSentence({ ...view, usedKg: '0.000' }, words(en))).toContain('uses none of it')
    expect(sparedSentence({ ...view, breakEven: null }, words(en))).toBeNull()
  })

  test.each([en, sw])('has words for every answer and every reason in both languages', (messages) => {
    for (const verdict of GATE_VERDICTS)
      for (const reason of [null, ...GATE_REASONS]) {
        const told = gateSentence({ ...view, verdict, reason }, words(messages))
        expect(told).not.toMatch(/^gate\.|%\{/)
      }
  })
})
