import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { createUser } from '../users.js'

export type LedgerPlace = {
  readonly actorId: string
  readonly memberId: string
  readonly orderId: string
  readonly batchId: string
}

/** The rows that stock movements point at: a member with an order of some feed, and one batch of it. Nothing is in stock of it. */
export const makeLedgerPlace = async (db: Db, { batchStatus = 'done' }: { batchStatus?: string } = {}): Promise<LedgerPlace> => {
  const now = new Date()
  const actor = await createUser(db, { role: 'manager' })
  const member = await createUser(db, { role: 'member' })
  const memberId = member.memberId ?? ''
  const [flockId, formulaId, versionId, orderId, mixerId, batchId] = Array.from({ length: 6 }, () => newId()) as [
    string,
    string,
    string,
    string,
    string,
    string,
  ]
  await db.flock.create({ data: { id: flockId, memberId, name: 'Hens', flockType: 'layer', hatchedOn: now, birds: 100, createdAt: now } })
  await db.formula.create({ data: { id: formulaId, nameEn: `Feed ${formulaId}`, nameSw: 'Chakula', stage: 'layer_peak', createdAt: now } })
  await db.formulaVersion.create({
    data: { id: versionId, formulaId, version: 1, requirementSource: 'REC', limits: {}, authorId: actor.id, createdAt: now },
  })
  await db.order.create({
    data: {
      id: orderId,
      memberId,
      flockId,
      formulaVersionId: versionId,
      kg: '500',
      dueOn: now,
      pricePerKg: '50',
      priceTotal: '25000',
      collectionCode: '1234',
      placedBy: actor.id,
      placedAt: now,
    },
  })
  const number = (await db.mixer.count()) + 1
  await db.mixer.create({
    data: {
      id: mixerId,
      number,
      name: 'Mixer',
      maxLoadKg: 500,
      minLoadKg: 100,
      floorScaleStepG: 100,
      tableScaleStepG: 1,
      tableScaleMaxKg: 5,
      mixMinutes: 8,
    },
  })
  await db.batch.create({
    data: {
      id: batchId,
      orderId,
      mixerId,
      loadOfOrder: 1,
      loadKg: '500',
      status: batchStatus,
      plannedBy: actor.id,
      plannedAt: now,
      bagKg: 50,
    },
  })
  return { actorId: actor.id, memberId, orderId, batchId }
}
