import { LotView, ReceiveLotBody } from '#contract/lots'
import { fieldError } from '#core/errors'
import { receiveIntoStock } from '#features/stock/ledger'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { dateOf, dayAt } from '#platform/mill-day'
import { checkDelivery } from './receive-bounds.js'
import { lotView, withNames } from './lot-view.js'

const DAY_MS = 86_400_000

const findIngredient = async (tx: Tx, input: ReceiveLotBody): Promise<{ shelfLifeDays: number | null }> => {
  const ingredient = await tx.ingredient.findUnique({ where: { id: input.ingredientId }, select: { shelfLifeDays: true } })
  if (ingredient === null) throw fieldError('ingredient-unknown', 'ingredientId', 'unknown', 'there is no such ingredient')
  const supplier = await tx.supplier.findUnique({ where: { id: input.supplierId }, select: { id: true } })
  if (supplier === null) throw fieldError('supplier-unknown', 'supplierId', 'unknown', 'there is no such supplier')
  return ingredient
}

/** The date on the label, else the shelf life of the ingredient counted from delivery, else none. */
const expiryOf = ({ expiresOn, receivedAt }: ReceiveLotBody, shelfLifeDays: number | null, timeZone: string): Date | null => {
  if (expiresOn !== null) return dateOf(expiresOn)
  if (shelfLifeDays === null) return null
  return new Date(dateOf(dayAt(new Date(receivedAt), timeZone)).getTime() + shelfLifeDays * DAY_MS)
}

export const receiveLot = command({
  roles: ['store-keeper', 'manager'],
  input: ReceiveLotBody,
  output: LotView,
  status: 201,
  async run({ tx, actor, now, newId, record }, input) {
    const { timeZone } = await tx.mill.findUniqueOrThrow({ where: { id: 1 }, select: { timeZone: true } })
    checkDelivery(input, { now, timeZone })
    const { shelfLifeDays } = await findIngredient(tx, input)
    const { medication, netKg, expiresOn: _label, receivedAt, ...facts } = input
    const id = newId()
    const happenedAt = new Date(receivedAt)
    await tx.lot.create({
      data: {
        ...facts,
        id,
        receivedAt: happenedAt,
        enteredAt: now,
        receivedBy: actor.userId,
        netKg,
        expiresOn: expiryOf(input, shelfLifeDays, timeZone),
        medicationActive: medication?.active ?? null,
        medicationStrengthPct: medication?.strengthPct ?? null,
      },
    })
    await receiveIntoStock(tx, { id: newId(), lotId: id, supplierId: input.supplierId, kg: netKg, happenedAt, actorId: actor.userId })
    const row = await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames })
    record('lot.received', 'lot', id, { number: row.number, ingredientId: row.ingredientId, netKg: row.netKg.toFixed(3) })
    return lotView(row)
  },
})
