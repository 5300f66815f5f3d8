import { expect, test } from 'vitest'
import { loadKgOf, remainingOf, unbegunLoads } from '../../../admin/resources/orders/orderModel.js'

const load = (number: number, status: string, madeKg: string | null = null) => ({
  id: `load-${number}`,
  number,
  loadKg: '500.000',
  gapPct: null,
  bagsCostPct: null,
  proven: null,
  status,
  startedAt: madeKg === null && status !== 'being-weighed' ? null : '2026-11-25T08:00:00.000Z',
  madeKg,
})
const order = (...batches: ReturnType<typeof load>[]) => ({ kg: '1000.000', pricePerKg: '55.2000', batches })

test('with the unbegun loads given up the bags that are left go out at once, and cost what they weigh', () => {
  const half = order(load(1, 'done', '499.800'), load(2, 'planned'))
  // 499.8 kg x 55.20
  expect(remainingOf(half)).toEqual({ kind: 'bags', kg: '499.800', price: '27588.96' })
  expect(loadKgOf(unbegunLoads(half))).toBe('500.000')
})

test('no more is charged than was ordered', () => {
  const more = order(load(1, 'done', '501.000'), load(2, 'done', '500.500'), load(3, 'on-hold'))
  expect(remainingOf(more)).toEqual({ kind: 'bags', kg: '1001.500', price: '55200.00' })
})

test('a load on the scales or made and held keeps the order open; with nothing else it is cancelled', () => {
  expect(remainingOf(order(load(1, 'being-weighed'), load(2, 'planned'))).kind).toBe('open')
  expect(remainingOf(order(load(1, 'on-hold', '499.000'), load(2, 'planned'))).kind).toBe('open')
  expect(remainingOf(order(load(1, 'cancelled', '499.000'), load(2, 'planned'))).kind).toBe('nothing')
})
