import { expect, it } from 'vitest'
import { clockOf, instantOf } from '../../../admin/format/instants'

// Nairobi is three hours ahead of UTC all year; New York changed from five to four hours behind on 8 March 2026 at 2 o'clock.
it.each([
  ['2026-08-04T10:30', 'Africa/Nairobi', '2026-08-04T07:30:00.000Z'],
  ['2026-01-01T01:00', 'Africa/Nairobi', '2025-12-31T22:00:00.000Z'],
  ['2026-03-08T01:30', 'America/New_York', '2026-03-08T06:30:00.000Z'],
  ['2026-03-08T03:30', 'America/New_York', '2026-03-08T07:30:00.000Z'],
])('%s on the clock of %s is %s', (clock, zone, instant) => {
  expect(instantOf(clock, zone)).toBe(instant)
  expect(clockOf(instant, zone)).toBe(clock)
})

it.each(['', '2026-08-04', '2026-13-04T10:30', 'now'])('takes "%s" for no moment', (clock) => {
  expect(instantOf(clock)).toBeUndefined()
})
