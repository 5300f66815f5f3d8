import { describe, expect, test } from 'vitest'
import { feedAtHome } from '../../../admin/member/feedAtHome'

const NOW = new Date('2026-11-25T09:00:00Z')
const flock = { id: 'f1', birds: 200, gramsPerBirdDay: 100 }
const collected = (kg: string, collectedAt: string, number = 1) => ({
  number,
  flockId: 'f1',
  kg,
  status: 'collected',
  collectedAt,
  dueOn: collectedAt.slice(0, 10),
})
const open = (kg: string, dueOn: string, status = 'planned') => ({ number: 9, flockId: 'f1', kg, status, collectedAt: null, dueOn })

// 200 birds at 100 g eat 20 kg a day, so 200 kg are ten days: counted by hand.
describe('feed at home', () => {
  test('lasts from the day of collection by what the birds eat', () => {
    expect(feedAtHome(flock, [collected('200.000', '2026-11-20T09:00:00.000Z')], NOW)).toMatchObject({
      kind: 'worked-out',
      until: '2026-11-30',
      daysLeft: 5,
    })
  })

  test('adds up when a collection came before the last was eaten', () => {
    const orders = [collected('200.000', '2026-11-22T09:00:00.000Z', 2), collected('200.000', '2026-11-20T09:00:00.000Z')]
    const feed = feedAtHome(flock, orders, NOW)
    expect(feed).toMatchObject({ until: '2026-12-10', daysLeft: 15, last: { number: 2 } })
  })

  test('says by how much it ended, and how far the next order reaches from its own day', () => {
    const feed = feedAtHome(flock, [collected('100.000', '2026-11-15T09:00:00.000Z'), open('200.000', '2026-11-27')], NOW)
    expect(feed).toMatchObject({ until: '2026-11-20', daysLeft: -5, next: { number: 9, until: '2026-12-07' } })
  })

  test('counts an order that is late from today', () => {
    const feed = feedAtHome(flock, [collected('100.000', '2026-11-15T09:00:00.000Z'), open('200.000', '2026-11-24', 'ready')], NOW)
    expect(feed).toMatchObject({ next: { until: '2026-12-05' } })
  })

  test('is not known without a figure of what they eat, or without a collection in 60 days', () => {
    expect(feedAtHome({ ...flock, gramsPerBirdDay: null }, [collected('200.000', '2026-11-20T09:00:00.000Z')], NOW)).toEqual({
      kind: 'unknown',
      why: 'no-intake',
    })
    const old = collected('200.000', '2026-09-20T09:00:00.000Z')
    const others = { ...collected('200.000', '2026-11-20T09:00:00.000Z'), flockId: 'f2' }
    expect(feedAtHome(flock, [old, others, open('200.000', '2026-11-27')], NOW)).toEqual({ kind: 'unknown', why: 'nothing-collected' })
  })
})
