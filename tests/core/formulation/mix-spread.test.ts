import { expect, test } from 'vitest'
import { mixSd } from '#core/formulation/mix-spread'

// expected figures by hand from the variance of a sum of independent quantities (any statistics text)
const part = (kg: number, own: number, shared?: { [key: string]: number }) => ({
  kg,
  contents: { CP: 10 },
  spreads: { CP: { own, shared } },
})

test('two lots that err independently: 30 and 70 kg with 1 and 2 points are sqrt(0.09 + 1.96) points', () => {
  expect(mixSd([part(30, 1), part(70, 2)], 'CP')).toBeCloseTo(Math.sqrt(0.09 + 1.96), 12)
})

test('what is shared does not average out, however many lots', () => {
  const lots = Array.from({ length: 50 }, () => part(2, 0, { book: 1.5 }))
  expect(mixSd(lots, 'CP')).toBeCloseTo(1.5, 12)
  expect(mixSd([part(50, 0, { book: 1.5 }), part(50, 0, { laboratory: 1.5 })], 'CP')).toBeCloseTo(1.5 / Math.SQRT2, 12)
})

test('an unknown part adds nothing, a known one without a spread makes it unknown, and so does an empty mix', () => {
  const unknown = { kg: 50, contents: { CP: { unknown: true as const } } }
  expect(mixSd([part(50, 2), unknown], 'CP')).toBeCloseTo(1, 12)
  expect(mixSd([part(50, 2), { kg: 50, contents: { CP: 12 } }], 'CP')).toBeNull()
  expect(mixSd([part(50, 2), { kg: 50, contents: { CP: 0 } }], 'CP')).toBeCloseTo(1, 12)
  expect(mixSd([], 'CP')).toBeNull()
})
