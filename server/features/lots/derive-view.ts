import type { z } from 'zod'
import type { ChildLotView, MakingView } from '#contract/derived-lots'
import { parseKg } from '#core/quantity/mass'
import { differsTooMuch } from '#core/stock/derived-lot'
import type { Role } from '#platform/actor'
import type { Db, Prisma } from '#platform/database/client'
import { keptFor } from './derive-undo.js'
import { madeByOf, statusOf } from './lot-view.js'

const short = {
  number: true,
  status: true,
  madeBy: true,
  ingredient: { select: { nameEn: true, nameSw: true } },
  supplier: { select: { name: true } },
} as const satisfies Prisma.LotSelect
type Short = Prisma.LotGetPayload<{ select: typeof short }>

const relative = (lotId: string, lot: Short, kg: { toFixed(places: number): string }): z.output<typeof ChildLotView> => ({
  lotId,
  number: lot.number,
  ingredientNameEn: lot.ingredient.nameEn,
  ingredientNameSw: lot.ingredient.nameSw,
  supplierName: lot.supplier.name,
  madeBy: madeByOf(lot.madeBy),
  status: statusOf(lot.status),
  kg: kg.toFixed(3),
})

const parentLot = { select: { ...short, parents: { select: { parentId: true, kg: true, parent: { select: short } } } } } as const

/** How a lot was made, with its parents and theirs; null for one that was delivered. */
export const makingView = async (
  db: Db,
  lotId: string,
  { role, today }: { readonly role: Role; readonly today: string },
): Promise<z.output<typeof MakingView> | null> => {
  const row = await db.lotMaking.findUnique({
    where: { lotId },
    include: {
      transfer: { select: { reversedBy: { select: { id: true } } } },
      lot: {
        select: {
          madeBy: true,
          onHandKg: true,
          reservedKg: true,
          status: true,
          holdUntil: true,
          assays: { where: { supersededBy: { is: null } }, select: { id: true } },
          parents: { select: { parentId: true, kg: true, parent: parentLot }, orderBy: { kg: 'desc' } },
        },
      },
    },
  })
  const kind = madeByOf(row?.lot.madeBy ?? null)
  if (row === null || kind === null) return null
  const { lot, transfer } = row
  const undone = transfer.reversedBy !== null
  const isUntouched = lot.onHandKg.equals(row.gotKg) && lot.reservedKg.isZero()
  return {
    kind,
    takenKg: row.takenKg.toFixed(3),
    gotKg: row.gotKg.toFixed(3),
    lossKg: row.lossKg.toFixed(3),
    lossKind: row.lossKind as z.output<typeof MakingView>['lossKind'],
    expectedKg: row.expectedKg.toFixed(3),
    differs: differsTooMuch(parseKg(row.gotKg.toFixed(3)), parseKg(row.expectedKg.toFixed(3))),
    moistureBeforePct: row.moistureBeforePct,
    moistureAfterPct: row.moistureAfterPct,
    note: row.note,
    undone,
    mayUndo: role === 'manager' && !undone && isUntouched && keptFor(lot, today) === null,
    parents: lot.parents.map(({ parentId, kg, parent }) => ({
      ...relative(parentId, parent, kg),
      parents: parent.parents.map((one) => relative(one.parentId, one.parent, one.kg)),
    })),
  }
}

/** What was made of a lot and stands, newest first. */
export const childrenView = async (db: Db, lotId: string): Promise<z.output<typeof ChildLotView>[]> => {
  const rows = await db.lotParent.findMany({
    where: { parentId: lotId, lot: { making: { transfer: { reversedBy: { is: null } } } } },
    select: { lotId: true, kg: true, lot: { select: short } },
    orderBy: { lot: { number: 'desc' } },
  })
  return rows.map((row) => relative(row.lotId, row.lot, row.kg))
}
