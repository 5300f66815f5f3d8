import { expect, it } from 'vitest'
import { needsSecondPerson, splitCount } from '#core/stock/second-person'
import { grams } from '#core/quantity/mass'

const kg = (value: number) => grams(Math.round(value * 1000))
const rule = { pct: '0.50', atLeast: kg(5) }

// 0.5 % of 400 kg is 2 kg, so 5 kg hold; 0.5 % of 10,000 kg is 50 kg. By hand.
it.each([
  [5, 400, false],
  [-5, 400, false],
  [5.001, 400, true],
  [-5.001, 400, true],
  [50, 10_000, false],
  [-50.001, 10_000, true],
  [0, 400, false],
])('lets one person change %s kg of a lot of %s kg alone, or not: waits %s', (change, received, waits) => {
  expect(needsSecondPerson(kg(change), kg(received), rule)).toBe(waits)
})

it.each([
  ['agrees', 100, 100, 40, 0, 0],
  ['finds more', 103, 100, 0, 3, 0],
  ['finds less than the books, all of it free', 90, 100, 40, -10, 0],
  ['finds the last free kilogram gone', 60, 100, 40, -40, 0],
  ['finds less than is set aside', 55, 100, 40, -40, 5],
  ['finds nothing though all is set aside', 0, 100, 0, 0, 100],
])('splits a count that %s', (_, counted, book, free, taken, missing) => {
  expect(splitCount(kg(counted), kg(book), kg(free))).toEqual({ change: kg(counted - book), taken: kg(taken), missing: kg(missing) })
})
