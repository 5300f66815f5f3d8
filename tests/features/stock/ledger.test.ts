import { beforeAll, describe, expect, it } from 'vitest'
import { MillError } from '#core/errors'
import { grams } from '#core/quantity/mass'
import { deliverBags, issueToBatch, makeBags, postTransfer, proveStock, releaseReservation, reserveLots } from '#features/stock/ledger'
import type { Tx } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { balanceOf, makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLedgerPlace, type LedgerPlace } from '../../support/builders/stock.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
const today = '2026-11-25'
let place: LedgerPlace

beforeAll(async () => {
  await prepareMill(mill.db)
  place = await makeLedgerPlace(mill.db)
})

const run = <T>(work: (tx: Tx) => Promise<T>): Promise<T> => mill.db.$transaction(work)
const moved = () => ({ id: newId(), happenedAt: new Date(), actorId: place.actorId })
const reserve = (lines: { lotId: string; kg: string }[]) =>
  run((tx) => reserveLots(tx, { ...moved(), orderId: place.orderId, lines, today }))
const refused = (work: Promise<unknown>): Promise<MillError> =>
  work.then(
    () => expect.fail('this should have been refused'),
    (error: unknown) => (error instanceof MillError ? error : expect.fail(String(error))),
  )

describe('the stock ledger', () => {
  it('sets kilograms of a lot aside and gives them back', async () => {
    const lot = await makeLot(mill.db, { netKg: '100' })
    await reserve([
      { lotId: lot.id, kg: '30.5' },
      { lotId: lot.id, kg: '9.5' },
    ])
    expect(await balanceOf(mill.db, lot.id)).toEqual({ onHandKg: '100.000', reservedKg: '40.000', status: 'released' })
    await run((tx) =>
      releaseReservation(tx, { ...moved(), orderId: place.orderId, lines: [{ lotId: lot.id, kg: '15' }], reason: 'cancelled' }),
    )
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '100.000', reservedKg: '25.000' })
    const error = await refused(
      run((tx) => releaseReservation(tx, { ...moved(), lines: [{ lotId: lot.id, kg: '25.001' }], reason: 'too much' })),
    )
    expect(error.code).toBe('wrong-state')
  })

  it('grants all lines of an order or none', async () => {
    const plenty = await makeLot(mill.db, { netKg: '100' })
    const scarce = await makeLot(mill.db, { netKg: '10' })
    const error = await refused(
      reserve([
        { lotId: plenty.id, kg: '50' },
        { lotId: scarce.id, kg: '10.001' },
      ]),
    )
    expect(error.code).toBe('stock-short')
    expect(error.facts).toMatchObject({ lotNumber: scarce.number, neededKg: '10.001', freeKg: '10.000' })
    expect(await balanceOf(mill.db, plenty.id)).toMatchObject({ reservedKg: '0.000' })
  })

  it('refuses lots that are not released or past their date, and takes one on its last day', async () => {
    const held = await makeLot(mill.db, { status: 'on-hold' })
    const old = await makeLot(mill.db, { expiresOn: '2026-11-24' })
    const lastDay = await makeLot(mill.db, { expiresOn: today })
    expect((await refused(reserve([{ lotId: held.id, kg: '1' }]))).code).toBe('lot-not-released')
    expect((await refused(reserve([{ lotId: old.id, kg: '1' }]))).code).toBe('lot-expired')
    await reserve([{ lotId: lastDay.id, kg: '1' }])
    expect(await balanceOf(mill.db, lastDay.id)).toMatchObject({ reservedKg: '1.000' })
  })

  it('issues what was weighed: less goes back, more comes out of free stock, and more than the books hold is unexplained', async () => {
    const less = await makeLot(mill.db, { netKg: '100' })
    const more = await makeLot(mill.db, { netKg: '100' })
    const beyond = await makeLot(mill.db, { netKg: '100' })
    await reserve([less, more, beyond].map(({ id }) => ({ lotId: id, kg: '60' })))
    const { unexplained } = await run((tx) =>
      issueToBatch(tx, {
        ...moved(),
        orderId: place.orderId,
        batchId: place.batchId,
        lines: [
          { lotId: less.id, reservedKg: '60', actualKg: '55' },
          { lotId: more.id, reservedKg: '60', actualKg: '72.5' },
          { lotId: beyond.id, reservedKg: '60', actualKg: '101.2' },
        ],
      }),
    )
    expect(unexplained).toEqual([{ lotId: beyond.id, kg: '1.200' }])
    expect(await balanceOf(mill.db, less.id)).toEqual({ onHandKg: '45.000', reservedKg: '0.000', status: 'released' })
    expect(await balanceOf(mill.db, more.id)).toEqual({ onHandKg: '27.500', reservedKg: '0.000', status: 'released' })
    expect(await balanceOf(mill.db, beyond.id)).toEqual({ onHandKg: '0.000', reservedKg: '0.000', status: 'used-up' })
  })

  it('leaves what is set aside for others in the books, though more was weighed', async () => {
    const lot = await makeLot(mill.db, { netKg: '100' })
    await reserve([{ lotId: lot.id, kg: '40' }])
    await reserve([{ lotId: lot.id, kg: '50' }])
    const lines = [{ lotId: lot.id, reservedKg: '40', actualKg: '60' }]
    const { unexplained } = await run((tx) => issueToBatch(tx, { ...moved(), orderId: place.orderId, batchId: place.batchId, lines }))
    expect(unexplained).toEqual([{ lotId: lot.id, kg: '10.000' }])
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '50.000', reservedKg: '50.000' })
  })

  it('makes bags, counts what is missing as a loss, and hands out no more than was made', async () => {
    const { orderId, batchId, memberId } = await makeLedgerPlace(mill.db)
    await run((tx) => makeBags(tx, { ...moved(), orderId, batchId, inKg: '500', madeKg: '498.5' }))
    const loss = await mill.db.stockEntry.findFirstOrThrow({ where: { batchId, account: 'loss' } })
    expect(loss.kg.toFixed(3)).toBe('1.500')
    const deliver = (kg: string) => run((tx) => deliverBags(tx, { ...moved(), orderId, memberId, batches: [{ batchId, kg }] }))
    await deliver('300')
    const error = await refused(deliver('198.501'))
    expect(error.code).toBe('stock-short')
    expect(error.facts).toMatchObject({ freeKg: '198.500' })
    await deliver('198.5')
    expect((await mill.db.batch.findUniqueOrThrow({ where: { id: batchId } })).bagsOnHandKg.toFixed(3)).toBe('0.000')
  })

  it('hands out nothing of a batch on hold', async () => {
    const { orderId, batchId, memberId } = await makeLedgerPlace(mill.db, { batchStatus: 'on-hold' })
    await run((tx) => makeBags(tx, { ...moved(), orderId, batchId, inKg: '100', madeKg: '100' }))
    const error = await refused(run((tx) => deliverBags(tx, { ...moved(), orderId, memberId, batches: [{ batchId, kg: '1' }] })))
    expect(error.code).toBe('wrong-state')
  })

  it('writes no movement that does not sum to zero, and the database refuses one that got past', async () => {
    const lot = await makeLot(mill.db)
    const entries = [{ account: 'lot-free', lotId: lot.id, grams: grams(1) }] as const
    await expect(run((tx) => postTransfer(tx, { ...moved(), kind: 'count', entries }))).rejects.toThrow('unbalanced by 0.001 kg')
    const bare = run(async (tx) => {
      const id = newId()
      await tx.stockTransfer.create({ data: { id, kind: 'count', happenedAt: new Date(), actorId: place.actorId } })
      await tx.stockEntry.create({ data: { transferId: id, account: 'lot-free', lotId: lot.id, kg: '0.001' } })
    })
    await expect(bare).rejects.toThrow(/does not sum to zero/)
    expect(await mill.db.stockEntry.count({ where: { lotId: lot.id } })).toBe(2)
  })

  it('lets nobody edit or remove a movement', async () => {
    const [entry] = await mill.db.stockEntry.findMany({ take: 1 })
    await expect(mill.db.stockEntry.update({ where: { id: entry?.id ?? 0n }, data: { kg: '1' } })).rejects.toThrow(/permission denied/)
    await expect(mill.db.stockTransfer.deleteMany()).rejects.toThrow(/permission denied/)
  })

  it('proves at the end that every balance is what its movements say', async () => {
    const proof = await proveStock(mill.db)
    expect(proof).toMatchObject({ whole: true, sumKg: '0.000', unbalancedTransfers: 0, lotDifferences: [], bagDifferences: [] })
    expect(proof.transfers).toBeGreaterThan(15)
  })

  it('finds a balance that was changed beside the ledger', async () => {
    const lot = await makeLot(mill.db, { netKg: '70' })
    await mill.db.lot.update({ where: { id: lot.id }, data: { onHandKg: '71' } })
    const proof = await proveStock(mill.db)
    expect(proof.whole).toBe(false)
    expect(proof.lotDifferences).toEqual([
      { lotNumber: lot.number, onHandKg: '71.000', ledgerOnHandKg: '70.000', reservedKg: '0.000', ledgerReservedKg: '0.000' },
    ])
  })
})
