import { expect, test } from 'vitest'
import { asFedAmount, asFedPct, dryMatterPct, kgAfterDrying } from '#core/milling/dry-matter'
import { doseMgPerKg, premixGrams } from '#core/milling/dose'
import { readCase } from '../formulation/reference-cases.js'

type Case = { readonly problem: Record<string, number>; readonly expected: Record<string, number> }
const figure = (of: Record<string, number>, name: string): number => of[name] ?? Number.NaN

test.each(['dm-corn-silage-10lb', 'dm-hay-intake'])('%s: dry matter to as-fed', (id) => {
  const { problem, expected } = readCase<Case>(id)
  expect(asFedAmount(figure(problem, 'dryMatterAmount'), figure(problem, 'dryMatterFraction'))).toBeCloseTo(figure(expected, 'asFed'), 8)
})

test('dm-cp-as-fed-to-dm: a content on the dry matter basis, and back', () => {
  const { problem, expected } = readCase<Case>('dm-cp-as-fed-to-dm')
  const onDryMatter = dryMatterPct(figure(problem, 'asFedPercent'), figure(problem, 'dryMatterFraction'))
  expect(onDryMatter).toBeCloseTo(figure(expected, 'dryMatterPercent'), 8)
  expect(asFedPct(onDryMatter, figure(problem, 'dryMatterFraction'))).toBeCloseTo(figure(problem, 'asFedPercent'), 12)
})

test('1,000 kg dried from 16 % to 13 % moisture is 965.5 kg (from memory)', () => {
  expect(kgAfterDrying(1000, 16, 13).toFixed(1)).toBe('965.5')
  expect(kgAfterDrying(1000, 14, 14)).toBe(1000)
})

test('salinomycin premix of 12 % at 500 g per tonne gives 60 mg/kg, and 35 g in 70 kg (from memory)', () => {
  expect(doseMgPerKg({ strengthPct: 12, gramsPerTonne: 500 })).toBe(60)
  expect(premixGrams({ gramsPerTonne: 500 }, 70)).toBe(35)
})
