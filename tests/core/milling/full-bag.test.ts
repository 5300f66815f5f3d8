import { expect, test } from 'vitest'
import { bagsAndRest, fullBagOf } from '#core/milling/full-bag'
import { parseKg } from '#core/quantity/mass'

// by hand: 100 bags of 50 kg are 5,000 kg; 167.4 kg are three of them and 17.4 kg
test('a delivery of whole kilograms a bag is counted, any other is weighed', () => {
  expect(fullBagOf(parseKg('5000.000'), 100)).toBe(50_000)
  expect(fullBagOf(parseKg('4980.000'), 100)).toBeNull()
  expect(fullBagOf(parseKg('5000.000'), null)).toBeNull()
  expect(fullBagOf(parseKg('5000.000'), 0)).toBeNull()
  expect(fullBagOf(parseKg('100.000'), 3)).toBeNull()
})

test('a target is its full bags and a rest', () => {
  const bag = parseKg('50.000')
  expect(bagsAndRest(parseKg('167.400'), bag)).toEqual({ count: 3, bag, rest: 17_400 })
  expect(bagsAndRest(parseKg('150.000'), bag)).toEqual({ count: 3, bag, rest: 0 })
  expect(bagsAndRest(parseKg('49.999'), bag)).toBeNull()
  expect(bagsAndRest(parseKg('167.400'), null)).toBeNull()
})
