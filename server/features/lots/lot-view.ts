import { LOT_STATUSES, type LotView } from '#contract/lots'
import { resultOf, type Assay } from '#core/composition/assays'
import type { Prisma } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'
import { assayOf } from './assay-view.js'

/** With each lot come its names and the results that still stand. */
export const withNames = {
  ingredient: { select: { nameEn: true, nameSw: true, pictogram: true, category: true } },
  supplier: { select: { name: true } },
  receivedByUser: { select: { name: true } },
  decidedByUser: { select: { name: true } },
  assays: { where: { supersededBy: { is: null } }, orderBy: [{ measuredOn: 'asc' }, { recordedAt: 'asc' }, { id: 'asc' }] },
} as const satisfies Prisma.LotInclude
export type LotRow = Prisma.LotGetPayload<{ include: typeof withNames }>

export const statusOf = (word: string): (typeof LOT_STATUSES)[number] => {
  const known = LOT_STATUSES.find((status) => status === word)
  if (known === undefined) throw new Error(`unknown lot status ${word}`)
  return known
}

export const medicationOf = (row: {
  medicationActive: string | null
  medicationStrengthPct: number | null
}): { active: string; strengthPct: number } | null =>
  row.medicationActive === null || row.medicationStrengthPct === null
    ? null
    : { active: row.medicationActive, strengthPct: row.medicationStrengthPct }

export const assaysOf = (row: LotRow): Assay[] => row.assays.map(assayOf)

export const lotView = (row: LotRow): LotView => {
  const assays = assaysOf(row)
  return {
    id: row.id,
    number: row.number,
    ingredientId: row.ingredientId,
    ingredientNameEn: row.ingredient.nameEn,
    ingredientNameSw: row.ingredient.nameSw,
    pictogram: row.ingredient.pictogram,
    supplierId: row.supplierId,
    supplierName: row.supplier.name,
    receivedAt: row.receivedAt.toISOString(),
    enteredAt: row.enteredAt.toISOString(),
    receivedBy: row.receivedByUser.name,
    bags: row.bags,
    netKg: row.netKg.toFixed(3),
    pricePerKg: row.pricePerKg.toFixed(4),
    intakeMoisturePct: row.intakeMoisturePct,
    deliveryNote: row.deliveryNote,
    storagePlace: row.storagePlace,
    expiresOn: row.expiresOn === null ? null : plainDate(row.expiresOn),
    medicationDeclared: row.medicationDeclared,
    medication: medicationOf(row),
    status: statusOf(row.status),
    statusReason: row.statusReason,
    decidedBy: row.decidedByUser?.name ?? null,
    decidedAt: row.decidedAt?.toISOString() ?? null,
    releasedFor: row.releasedFor,
    retestOn: row.retestOn === null ? null : plainDate(row.retestOn),
    holdUntil: row.holdUntil === null ? null : plainDate(row.holdUntil),
    onHandKg: row.onHandKg.toFixed(3),
    reservedKg: row.reservedKg.toFixed(3),
    freeKg: row.onHandKg.minus(row.reservedKg).toFixed(3),
    moisturePct: resultOf(assays, 'moisture')?.value ?? row.intakeMoisturePct,
    proteinPct: resultOf(assays, 'CP')?.value ?? null,
    revision: row.revision,
  }
}
