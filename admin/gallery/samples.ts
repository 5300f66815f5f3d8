import type { Finding } from '../ui/RefusalCard'
import type { KnownValue } from '../ui/KnownBy'
import type { CostPoint } from '../ui/pictures/CostCurve'
import type { LimitCost } from '../ui/pictures/LimitCosts'
import type { MixPart } from '../ui/pictures/MixBars'
import type { NutrientRail } from '../ui/pictures/NutrientRails'
import type { PriceRange } from '../ui/pictures/PriceRanges'
import type { TraceLink, TraceNode } from '../ui/pictures/TraceColumns'

/** Invented figures to look at the parts with; nothing here is a recipe. */
export const KNOWN: readonly KnownValue[] = [
  { knownBy: 'measured', figure: '8.4', unit: '%', spread: '0.3', on: '2 Aug', by: 'our laboratory' },
  { knownBy: 'worked-out', figure: '0.21', unit: '%', spread: '0.02', from: 'protein' },
  { knownBy: 'supplier', figure: '8.2', unit: '%', spread: '0.4', lots: 9 },
  { knownBy: 'book', figure: '8.1', unit: '%', spread: '0.6' },
  { knownBy: 'memory', figure: '0.095', unit: '%' },
  { knownBy: 'unknown', unit: 'ug/kg', countsAtLeast: '0 ug/kg', countsAtMost: '60 ug/kg' },
  { knownBy: 'below-detection', figure: '2', unit: 'ug/kg', on: '2 Aug', countsAs: '2 ug/kg' },
  { knownBy: 'structural-zero', figure: '0.0', unit: '%' },
]

export const FINDINGS: readonly Omit<Finding, 'next'>[] = [
  {
    verdict: 'warn',
    what: 'Moisture of lot 47, maize',
    reasons: ['Moisture 14.2 %, limit 13.5 % (measured 2 Aug)'],
    rule: { id: 'MO-01', source: 'textbook', read: false, appliesTo: 'any grain' },
    letPass: { by: 'Amani', when: 'Tue 4 Aug 2026, 08:10', reason: 'used this week' },
  },
  {
    verdict: 'block',
    what: 'Release of lot 44, maize',
    reasons: ["Aflatoxin 26 ug/kg, limit for hens' feed 20 ug/kg (measured 2 Aug)"],
    rule: { id: 'AF-EA-01', source: 'EAS 90', read: true, appliesTo: 'any feed', country: 'East Africa' },
  },
  { verdict: 'pass', what: 'Calcium of layer mash', reasons: ['Calcium 3.60 %, at least 3.20 %'] },
]

export const MIX: readonly MixPart[] = [
  {
    key: 'maize',
    name: 'yellow maize',
    kg: '304.750',
    sharePct: 60.95,
    lots: [
      { code: '41', kg: '200' },
      { code: '43', kg: '104.75' },
    ],
    cost: 'KES 11,580',
  },
  { key: 'soya', name: 'soya cake', kg: '82.000', sharePct: 16.4, lots: [{ code: '38', kg: '82' }], cost: 'KES 7,380' },
  { key: 'sun', name: 'sunflower cake', kg: '48.000', sharePct: 9.6, lots: [{ code: '29', kg: '48' }], cost: 'KES 1,632' },
  { key: 'lime', name: 'limestone', kg: '42.000', sharePct: 8.4, lots: [{ code: '12', kg: '42' }], cost: 'KES 420' },
  { key: 'fish', name: 'dried small fish', kg: '20.000', sharePct: 4, lots: [{ code: '36', kg: '20' }], cost: 'KES 2,400' },
  { key: 'premix', name: 'premix', kg: '1.250', sharePct: 0.25, lots: [{ code: '9', kg: '1.25' }], cost: 'KES 500' },
  { key: 'met', name: 'methionine', kg: '0.500', sharePct: 0.1, lots: [{ code: '17', kg: '0.5' }], cost: 'KES 193' },
]

export const RAILS: readonly NutrientRail[] = [
  {
    key: 'CP',
    name: 'protein',
    mean: 16.9,
    value: { knownBy: 'worked-out', figure: '16.9', unit: '%', spread: '0.4' },
    min: 16.5,
    minText: '16.5 %',
    halfRange: 0.4,
    timesIn20: 19,
    state: 'at-limit',
  },
  {
    key: 'Ca',
    name: 'calcium',
    mean: 3.62,
    value: { knownBy: 'book', figure: '3.62', unit: '%', spread: '0.20' },
    min: 3.2,
    minText: '3.20 %',
    max: 4.2,
    maxText: '4.20 %',
    halfRange: 0.2,
    state: 'inside',
  },
  {
    key: 'CF',
    name: 'fibre',
    mean: 7.4,
    value: { knownBy: 'book', figure: '7.4', unit: '%', spread: '0.8' },
    max: 7,
    maxText: '7.0 %',
    halfRange: 0.8,
    state: 'failing',
  },
  {
    key: 'avP',
    name: 'available phosphorus',
    mean: 0.31,
    value: { knownBy: 'memory', figure: '0.31', unit: '%' },
    min: 0.28,
    minText: '0.28 %',
    unknownUpTo: 0.36,
    state: 'inside',
  },
  {
    key: 'AME',
    name: 'energy',
    mean: 2760,
    value: { knownBy: 'worked-out', figure: '2,760', unit: 'kcal/kg', spread: '60' },
    min: 2700,
    minText: '2,700 kcal/kg',
    halfRange: 60,
    state: 'inside',
  },
]

export const COSTS: readonly LimitCost[] = [
  { key: 'CP', name: 'protein', from: '16.5 %', to: '16.4 %', saving: 64, savingText: 'KES 64', until: '16.2 %' },
  { key: 'CF', name: 'fibre', from: '7.0 %', to: '7.2 %', saving: 41, savingText: 'KES 41', until: '7.8 %' },
  { key: 'Met', name: 'methionine', from: '0.38 %', to: '0.37 %', saving: 12, savingText: 'KES 12' },
]

const stays = (key: string, name: string, from: number | null, today: number, to: number | null): PriceRange => ({
  key,
  name,
  today,
  todayText: today.toFixed(2),
  from,
  to,
  used: true,
  sentence: `${name} stays in between ${from?.toFixed(2) ?? 'any price'} and ${to?.toFixed(2) ?? 'any price'}; today ${today.toFixed(2)}.`,
})

export const PRICES: readonly PriceRange[] = [
  stays('maize', 'Yellow maize', 35.1, 38, 41.6),
  stays('sun', 'Sunflower cake', 31.2, 34, 38.9),
  stays('soya', 'Soya cake', 84.2, 90, 118.4),
  stays('fish', 'Dried small fish', 119, 120, 121.5),
  stays('met', 'Methionine', null, 385, 910),
  stays('salt', 'Salt', 18, 25, null),
  {
    key: 'germ',
    name: 'Maize germ',
    today: 33.5,
    todayText: '33.50',
    used: true,
    sentence: 'Maize germ changes with every price; today 33.50.',
  },
  {
    key: 'cotton',
    name: 'Cottonseed cake, dehulled, second press',
    today: 33,
    todayText: '33.00',
    entersBelow: 27.4,
    used: false,
    sentence: 'Cottonseed cake enters below 27.40; today 33.00.',
  },
  {
    key: 'blood',
    name: 'Blood meal',
    today: 105,
    todayText: '105.00',
    entersBelow: null,
    used: false,
    sentence: 'Blood meal does not enter at any price; today 105.00.',
  },
]

const costPoint = (at: number, cost: number): CostPoint => ({
  at,
  cost,
  atText: `${at.toFixed(1)} %`,
  costText: `KES ${Math.floor(cost / 1000)},${String(cost % 1000).padStart(3, '0')}`,
})

/** Protein at least: today's limit stands at a point. */
export const CURVE: readonly CostPoint[] = [
  costPoint(14, 44_900),
  costPoint(15.2, 45_310),
  costPoint(16.2, 46_020),
  costPoint(16.5, 46_212),
  costPoint(17.4, 47_240),
  costPoint(18.6, 50_480),
]

export const NEAR_CURVE: readonly CostPoint[] = Array.from({ length: 13 }, (_, index) =>
  costPoint(5 + index / 2, 49_000 - Math.round(1800 * Math.sqrt(index))),
)

export const TRACE_NODES: readonly TraceNode[] = [
  { id: 's1', level: 'supplier', label: 'Ota Traders', kgText: '1,200.0 kg', href: '#s1' },
  { id: 'l44', level: 'lot', label: 'Lot 44, yellow maize', kgText: '1,200.0 kg', href: '#l44' },
  { id: 'b198', level: 'batch', label: 'Load 198', kgText: '304.8 kg', href: '#b198' },
  { id: 'b199', level: 'batch', label: 'Load 199', kgText: '304.8 kg', href: '#b199' },
  { id: 'b201', level: 'batch', label: 'Load 201', kgText: '12.0 kg', href: '#b201' },
  ...Array.from({ length: 11 }, (_, index) => ({
    id: `m${index}`,
    level: 'member' as const,
    label: `Member ${index + 1}`,
    kgText: `${(index + 1) * 10}.0 kg`,
    href: `#m${index}`,
  })),
]
export const TRACE_LINKS: readonly TraceLink[] = [
  { from: 's1', to: 'l44', kg: 1200, kgText: '1,200.0 kg', certain: true },
  { from: 'l44', to: 'b198', kg: 304.75, kgText: '304.8 kg', certain: true },
  { from: 'l44', to: 'b199', kg: 304.75, kgText: '304.8 kg', certain: true },
  { from: 'b199', to: 'b201', kg: 12, kgText: '12.0 kg', certain: false },
  ...Array.from({ length: 11 }, (_, index) => ({
    from: index < 5 ? 'b198' : 'b199',
    to: `m${index}`,
    kg: (index + 1) * 10,
    kgText: `${(index + 1) * 10}.0 kg`,
    certain: true,
  })),
]
