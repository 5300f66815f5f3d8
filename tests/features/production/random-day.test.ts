import fc from 'fast-check'
import { expect, test } from 'vitest'
import { formatKg, grams } from '#core/quantity/mass'
import { proveStock } from '#features/stock/ledger'
import { prepareMill } from '../../support/builders/mill.js'
import { asPlanned, makePlannedOrder, usualLines, type PlannedOrder } from '../../support/builders/production.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const mixer = await mill.as('mixer-operator')
const manager = await mill.as('manager')

type Step =
  | { readonly kind: 'start' | 'hold' | 'release' | 'collect' }
  | { readonly kind: 'weigh'; readonly row: number; readonly grams: number }
  | { readonly kind: 'finish'; readonly madeGrams: number }
const step: fc.Arbitrary<Step> = fc.oneof(
  { weight: 4, arbitrary: fc.record({ kind: fc.constantFrom('start', 'hold', 'release', 'collect') }) },
  {
    weight: 3,
    arbitrary: fc.record({
      kind: fc.constant('weigh' as const),
      row: fc.integer({ min: 1, max: 3 }),
      grams: fc.integer({ min: 0, max: 90_000 }),
    }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      kind: fc.constant('finish' as const),
      madeGrams: fc.oneof({ weight: 3, arbitrary: fc.constant(100_000) }, { weight: 1, arbitrary: fc.integer({ min: 1, max: 130_000 }) }),
    }),
  },
)

const take = async (planned: PlannedOrder, act: Step) => {
  const batch = await mill.db.batch.findFirstOrThrow({ where: { orderId: planned.orderId }, orderBy: { loadOfOrder: 'desc' } })
  const at = `/batches/${batch.id}`
  const { revision } = batch
  switch (act.kind) {
    case 'start':
      return mixer.post(`${at}/start`, {}, { revision })
    case 'hold':
      return manager.post(`${at}/hold`, { reason: 'a doubt' }, { revision })
    case 'release':
      return manager.post(`${at}/release-hold`, { reason: 'no doubt' }, { revision })
    case 'weigh':
      return mixer.post(`${at}/weighings`, { part: 'load', position: act.row, actualKg: formatKg(grams(act.grams)) })
    case 'finish':
      return mixer.post(`${at}/finish`, { weights: asPlanned(planned), madeKg: formatKg(grams(act.madeGrams)) }, { revision })
    case 'collect': {
      const order = await mill.db.order.findUniqueOrThrow({ where: { id: planned.orderId } })
      return manager.post(`/orders/${planned.orderId}/collect`, { collectionCode: '1234' }, { revision: order.revision })
    }
  }
}

test('whatever is done in whatever order, the books stay whole and nothing is a fault of ours', { timeout: 180_000 }, async () => {
  const done = new Set<string>()
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 8, maxLength: 16 }), async (steps) => {
      const planned = await makePlannedOrder(mill.db, { lines: await usualLines(mill.db, { maizeKg: '75.000' }) })
      for (const act of steps) {
        const { status, text } = await take(planned, act)
        expect(status, `${act.kind}: ${text}`).toBeLessThan(500)
        if (status === 200) done.add(act.kind)
      }
      const proof = await proveStock(mill.db)
      expect({ whole: proof.whole, sumKg: proof.sumKg, unbalanced: proof.unbalancedTransfers }).toEqual({
        whole: true,
        sumKg: '0.000',
        unbalanced: 0,
      })
    }),
    { numRuns: 25 },
  )
  // A sequence in which everything is refused would prove nothing.
  expect([...done].toSorted()).toEqual(['collect', 'finish', 'hold', 'release', 'start', 'weigh'])
})
