import { expect, test } from 'vitest'
import { en } from '../../../admin/i18n/en'
import { translate } from '../../../admin/i18n/translate'
import { otherMixes, type Alternatives } from '../../../admin/resources/formula-versions/mixesTold'

type Mix = Alternatives['mixes'][number]['mix']
const told = {
  words: { t: (key: string, facts = {}) => translate(en, key, facts), nameOf: (id: string) => id },
  language: 'en' as const,
  currency: 'KES',
}

const mixOf = (costPerTonne: string, parts: Readonly<Record<string, string>>, kind: Mix['kind'] = 'optimal'): Mix => ({
  kind,
  batchKg: '1000.000',
  costTotal: costPerTonne,
  costPerTonne,
  paidTotal: null,
  amounts: Object.entries(parts).map(([name, kg]) => ({
    lotId: name,
    lotNumber: 0,
    ingredientId: name,
    ingredientNameEn: name,
    ingredientNameSw: name,
    pictogram: '',
    kg,
    pct: Number(kg) / 10,
    pricePerKg: '1.0000',
    paidPricePerKg: '1.0000',
    cost: '1.00',
  })),
  nutrients: [],
  limitCosts: [],
  notUsed: [],
  leftOut: [],
  conflict: [],
  reason: null,
  findings: [],
})
const one = (kind: Alternatives['mixes'][number]['kind'], mix: Mix, proven = true, ingredientId: string | null = null) => ({
  kind,
  ingredientId,
  atMost: kind === 'at-most' ? 2 : null,
  proven,
  mix,
  movedPct: 10,
})

test('other mixes are told by what they cost more and what changes in them, proven or not', () => {
  const cheapest = one('cheapest', mixOf('48000.00', { maize: '600.000', soya: '300.000', bran: '100.000' }))
  const without = one('without', mixOf('48600.00', { maize: '650.000', soya: '299.900', fish: '50.100' }), false, 'bran')
  const none = one('at-most', mixOf('0.00', {}, 'infeasible'))
  const plain = (text: string | undefined): string => (text ?? '').replaceAll('\u00a0', ' ')
  const [first, second, third] = otherMixes({ mixes: [cheapest, without, none] }, told)
  expect([first?.title, plain(first?.cost), first?.changes]).toEqual(['The cheapest', 'KES 48,000 a tonne', []])
  expect([second?.title, plain(second?.difference), second?.proven]).toEqual([
    'Without bran',
    'KES 600 a tonne dearer',
    'Not proven: time was short, a better one may exist.',
  ])
  // a tenth of a kilogram of soya in a tonne is no difference to anybody
  expect(second?.changes.map(plain)).toEqual(['bran out, 100.0 kg less', 'fish 50.1 kg, new', 'maize 50.0 kg more'])
  expect([third?.title, third?.none]).toEqual(['With at most 2 ingredients', 'There is no such mix inside the limits.'])
})
