import { describe, expect, test } from 'vitest'
import { en } from '../../../admin/i18n/en'
import { sw } from '../../../admin/i18n/sw'
import { translate } from '../../../admin/i18n/translate'
import { traceLinks, traceNodes, traceTold, type Trace } from '../../../admin/pages/traceWords'
import { Problem } from '../../../admin/providers/http'
import { refusedFindings } from '../../../admin/resources/batches/StartLoad'
import { discrepancyTold, factsKg, type Discrepancy } from '../../../admin/resources/discrepancies/discrepancyWords'

const inEnglish = { t: (key: string, facts = {}) => translate(en, key, facts).replaceAll('\u00a0', ' ') }
const inSwahili = { t: (key: string, facts = {}) => translate(sw, key, facts).replaceAll('\u00a0', ' ') }
const plain = (text: string): string => text.replaceAll('\u00a0', ' ')

describe('what a weight outside its range says', () => {
  // The two sentences of the design, word by word.
  const facts = { actual: '84.6', low: '81.6', high: '82.4', difference: '2.6' }

  test('in both languages', () => {
    expect(inEnglish.t('load.step.over', { ...facts, unit: inEnglish.t('load.unit.floor') })).toBe(
      'You weighed 84.6 kg; 81.6 to 82.4 kg is allowed. Take out 2.6 kg, or record 84.6 kg and call the manager.',
    )
    expect(inSwahili.t('load.step.over', { ...facts, unit: inSwahili.t('load.unit.floor') })).toBe(
      'Umepima kilo 84.6; kinachoruhusiwa ni kilo 81.6 hadi 82.4. Toa kilo 2.6, au andika kilo 84.6 na umwite meneja.',
    )
  })
})

describe('a discrepancy', () => {
  const row = (over: Partial<Discrepancy>): Discrepancy => ({
    id: 'd',
    number: 1,
    kind: 'outside-allowed-range',
    lotNumber: 16,
    batchId: 'b',
    batchNumber: 26,
    orderNumber: 23,
    facts: { actualKg: '40.000', targetKg: '37.600', allowedLowKg: '37.400', allowedHighKg: '37.800' },
    openedAt: '2026-11-22T05:22:00.000Z',
    openedBy: 'Juma Wekulo',
    closedAt: null,
    closedBy: null,
    reason: null,
    revision: 1,
    ...over,
  })

  test('tells its figures with their unit, all with the same decimals', () => {
    expect(plain(discrepancyTold(row({}), inEnglish))).toBe('Load 26, lot 16: 40.0 kg, not 37.6 kg; 37.4 kg to 37.8 kg is allowed.')
    const table = { actualKg: '0.700', targetKg: '0.603', allowedLowKg: '0.597', allowedHighKg: '0.609' }
    expect(plain(factsKg(table, inEnglish.t))).toBe('0.700 kg, not 0.603 kg')
  })

  test('names broken limits in words', () => {
    const broken = row({ kind: 'limit-broken', lotNumber: null, facts: { limits: 'nutrient:Ca:max, nutrient:CP:min' } })
    expect(discrepancyTold(broken, inEnglish)).toBe('Load 26: calcium above its limit, protein below its limit.')
    expect(discrepancyTold(broken, inSwahili)).toBe('Mkupuo 26: kalsiamu: juu ya kikomo, protini: chini ya kikomo.')
  })

  test('of a kind not known here has a name all the same', () => {
    expect(discrepancyTold(row({ kind: 'something-new' }), inEnglish)).toBe('')
    expect(inEnglish.t('discrepancy.kind.other')).not.toBe('')
  })
})

describe('a refused start', () => {
  test('gives the findings of the refusal, and nothing for any other problem', () => {
    const finding = { ruleId: 'CARRY-01' }
    const blocked = new Problem('safety-block', 422, 'r', [], { facts: { findings: [finding] } })
    expect(refusedFindings(blocked)).toEqual([finding])
    expect(refusedFindings(new Problem('safety-block', 422, 'r', [], null))).toEqual([])
    expect(refusedFindings(new Problem('stale-revision', 412, 'r', [], { facts: { findings: [finding] } }))).toEqual([])
    expect(refusedFindings(undefined)).toEqual([])
  })
})

describe('a trace', () => {
  const trace: Trace = {
    asked: { kind: 'lot', id: 'lot:l', label: '44' },
    at: '2026-11-25T06:00:00.000Z',
    nodes: [
      { id: 'lot:l', kind: 'lot', number: 44, label: 'White maize', detail: '', status: 'released', kg: '1200.000' },
      { id: 'batch:b', kind: 'batch', number: 198, label: 'Layer mash', detail: '', status: 'done', kg: '304.750' },
      { id: 'member:m', kind: 'member', number: 12, label: 'Wanja', detail: '', status: '', kg: '300.000' },
    ],
    edges: [{ from: 'lot:l', to: 'batch:b', kg: '304.750', certain: false }],
    totals: { lots: 1, batches: 1, orders: 1, members: 2, madeKg: '304.750', collectedKg: '300.000', bagsOnHandKg: '4.750' },
    balance: null,
  }

  test('answers in one sentence from what was asked', () => {
    expect(traceTold(trace, inEnglish.t)).toBe('Lot 44 went into 1 load, for 2 members.')
    expect(traceTold(trace, inSwahili.t)).toBe('Mzigo 44 umeingia kwenye mkupuo 1, kwa wanachama 2.')
  })

  test('links each thing only where the reader may open it, and keeps grams and doubt on its lines', () => {
    const nodes = traceNodes(trace, { t: inEnglish.t, opens: (resource) => resource !== 'members' })
    expect(nodes.map(({ label, href }) => [label, href])).toEqual([
      ['Lot 44, White maize', '#/lots/l/show'],
      ['Load 198, Layer mash', '#/batches/b/show'],
      ['Wanja', undefined],
    ])
    expect(traceLinks(trace)).toEqual([{ from: 'lot:l', to: 'batch:b', kg: 304.75, kgText: '304.750\u00a0kg', certain: false }])
  })
})
