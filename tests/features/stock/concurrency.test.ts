import { beforeAll, describe, expect, it } from 'vitest'
import { MillError } from '#core/errors'
import { proveStock, reserveLots } from '#features/stock/ledger'
import { translateDatabaseError } from '#platform/database/errors'
import { newId } from '#platform/new-id'
import { balanceOf, makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLedgerPlace, type LedgerPlace } from '../../support/builders/stock.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill({ environment: { KINU_DATABASE_CONNECTIONS: '24' } })
const today = '2026-11-25'
let place: LedgerPlace
beforeAll(async () => {
  await prepareMill(mill.db)
  place = await makeLedgerPlace(mill.db)
})

// What answers "busy" did not happen and is asked again under the same id, as a client does; had it happened, the id would be taken.
const tryReserve = async (lines: { lotId: string; kg: string }[]): Promise<'granted' | 'refused'> => {
  const movement = { id: newId(), happenedAt: new Date(), actorId: place.actorId, orderId: place.orderId }
  for (;;) {
    try {
      await mill.db.$transaction((tx) => reserveLots(tx, { ...movement, lines, today }))
      return 'granted'
    } catch (thrown) {
      const error = translateDatabaseError(thrown)
      if (!(error instanceof MillError)) throw error
      if (error.code === 'already-exists') return 'granted'
      if (error.code === 'stock-short' || error.code === 'lot-not-released') return 'refused'
      if (error.code !== 'busy') throw error
    }
  }
}
const ledgerKg = async (lotId: string): Promise<string | undefined> => {
  const sum = await mill.db.stockEntry.aggregate({ where: { lotId, account: 'lot-reserved' }, _sum: { kg: true } })
  return sum._sum.kg?.toFixed(3)
}

describe('many at once', () => {
  it('grants of 64 who want the same scarce lot exactly as many as it serves', async () => {
    const lot = await makeLot(mill.db, { netKg: '100' })
    const answers = await Promise.all(Array.from({ length: 64 }, () => tryReserve([{ lotId: lot.id, kg: '5' }])))
    // 100 kg / 5 kg = 20
    expect(answers.filter((answer) => answer === 'granted')).toHaveLength(20)
    expect(await ledgerKg(lot.id)).toBe('100.000')
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ reservedKg: '100.000' })
  })

  it('does not lock itself up when orders want two lots in either order', async () => {
    const a = await makeLot(mill.db, { netKg: '1000' })
    const b = await makeLot(mill.db, { netKg: '1000' })
    const lines = [
      { lotId: a.id, kg: '1' },
      { lotId: b.id, kg: '1' },
    ]
    const answers = await Promise.all(Array.from({ length: 40 }, (_, i) => tryReserve(i % 2 === 0 ? lines : lines.toReversed())))
    expect(new Set(answers)).toEqual(new Set(['granted']))
    expect(await ledgerKg(b.id)).toBe('40.000')
  })

  it('reserves nothing of a lot after its rejection was answered', async () => {
    const manager = await mill.as('manager')
    for (let round = 0; round < 5; round += 1) {
      const lot = await makeLot(mill.db, { netKg: '1000' })
      let rejected = false
      const afterRejection: string[] = []
      const reserving = Array.from({ length: 20 }, async () => {
        const late = rejected
        const answer = await tryReserve([{ lotId: lot.id, kg: '1' }])
        if (late) afterRejection.push(answer)
        return answer
      })
      const rejecting = manager.post(`/lots/${lot.id}/reject`, { reason: 'mould found' }, { revision: 1 }).then((reply) => {
        rejected = reply.status === 200
        return reply
      })
      expect((await rejecting).status).toBe(200)
      afterRejection.push(await tryReserve([{ lotId: lot.id, kg: '1' }]))
      const granted = (await Promise.all(reserving)).filter((answer) => answer === 'granted').length
      expect(afterRejection.every((answer) => answer === 'refused')).toBe(true)
      expect(await balanceOf(mill.db, lot.id)).toMatchObject({ reservedKg: `${granted}.000`, status: 'rejected' })
    }
  })

  it('leaves the books whole', async () => {
    expect((await proveStock(mill.db)).whole).toBe(true)
  })
})
