import { describe, expect, test } from 'vitest'
import { setsOf, targetsOf } from '../../../admin/resources/formulas/requirementSets'
import { ON_AVERAGE, useToSend } from '../../../admin/resources/formulas/RequirementUse'
import { formatTotal, priceOf, proposedBags, sortFeeds, type Feed, type Offer } from '../../../admin/resources/orders/orderModel'

describe('requirement sets to begin from', () => {
  const row = (source: string, nutrient: string, seen: 'read' | 'calc' | 'memory') => ({ source, nutrient, seen })
  test('are counted by nutrient, with how many were read, and the default of the mill first', () => {
    const rows = [
      row('NRC1994', 'CP', 'read'),
      row('NRC1994', 'Ca', 'memory'),
      row('REC', 'CP', 'memory'),
      // not a nutrient that the mill computes with
      row('REC', 'vitamin A', 'read'),
    ]
    expect(setsOf(rows)).toEqual([
      { source: 'REC', limits: 1, read: 0, memory: 1 },
      { source: 'NRC1994', limits: 2, read: 1, memory: 1 },
    ])
  })
  test('call a nutrient remembered where one of its rows is', () => {
    expect(setsOf([row('A', 'CP', 'read'), row('A', 'CP', 'memory')])).toEqual([{ source: 'A', limits: 1, read: 0, memory: 1 }])
  })
})

describe('which figures of a set a draft takes', () => {
  const at = (sure: string, ownSure = '') => useToSend({ kind: 'minimum', sure, ownSure })
  test('are the minima on average unless something else is chosen', () => {
    expect(useToSend(ON_AVERAGE)).toEqual({ kind: 'minimum', certainty: 0.5 })
    expect(useToSend({ ...ON_AVERAGE, kind: 'target' })).toEqual({ kind: 'target' })
    expect(at('90')).toEqual({ kind: 'minimum', certainty: 0.9 })
    expect(at('other', '92.5')).toEqual({ kind: 'minimum', certainty: 0.925 })
  })
  test('are not sent with a certainty that is none', () => {
    for (const typed of ['', '49.9', '99.1', '92,5', 'sure', '-90']) expect(at('other', typed), typed).toBeNull()
    expect(at('')).toBeNull()
  })
  test('tells targets beside a minimum from those alone, of the chosen set', () => {
    const row = (source: string, nutrient: string, min: number | null, target: number | null) => ({ source, nutrient, min, target })
    const rows = [
      row('A', 'Lys', 0.7, 0.8),
      row('A', 'AME', null, 2800),
      row('A', 'CP', 16, null),
      row('B', 'Ca', 3, 4),
      row('A', 'x', 1, 2),
    ]
    expect(targetsOf(rows, 'A')).toEqual({ beside: ['Lys'], alone: ['AME'] })
    expect(targetsOf(rows, 'C')).toEqual({ beside: [], alone: [] })
  })
})

const finding = (severity: 'pass' | 'warn' | 'block'): Feed['findings'][number] => ({
  ruleId: 'CA-05',
  severity,
  topic: 'calcium',
  what: { code: 'minimum-below-rule', facts: {} },
  found: null,
  limit: null,
  source: { key: 'NRC1994', read: false, jurisdiction: 'any' },
  appliesTo: 'layer_peak',
  action: '',
})
const feed = (nameEn: string, severity: 'pass' | 'warn' | 'block', proposed = false): Feed => ({
  formulaVersionId: nameEn,
  nameEn,
  nameSw: nameEn,
  stage: 'layer_peak',
  pricePerKg: '49.1000',
  proposed,
  medicated: false,
  findings: [finding('pass'), finding(severity)],
})

describe('the counter', () => {
  test('offers the proposed feed first, lets a warning through and keeps what is blocked apart', () => {
    const { open, refused } = sortFeeds([feed('late lay', 'warn'), feed('chick mash', 'block'), feed('layer mash', 'pass', true)])
    expect(open.map(({ nameEn }) => nameEn)).toEqual(['layer mash', 'late lay'])
    expect(refused.map(({ nameEn }) => nameEn)).toEqual(['chick mash'])
  })

  test('counts the price as the mill does, to the cent', () => {
    expect(priceOf('200.000', '49.1000')).toBe('9820.00')
    expect(formatTotal('9820.00').replaceAll('\u00a0', ' ')).toBe('KES 9,820')
    expect(formatTotal('9820.50').replaceAll('\u00a0', ' ')).toBe('KES 9,820.50')
  })

  test('proposes whole bags, and one where nothing is known of how much they eat', () => {
    const offer = { proposedKg: '200.000', bagKg: '50.000' } as Offer
    expect(proposedBags(offer)).toBe(4)
    expect(proposedBags({ ...offer, proposedKg: null })).toBe(1)
  })
})
