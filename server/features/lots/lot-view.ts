import { z } from 'zod'
import { LookAtLot, LOT_STATUSES, type LotView } from '#contract/lots'
import { resultOf, type Assay } from '#core/composition/assays'
import { formatKg, parseKg } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'
import { paymentOf } from '#core/receiving/payment'
import { MAKING_KINDS, type MakingKind } from '#core/stock/derived-lot'
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

export const madeByOf = (word: string | null): MakingKind | null => MAKING_KINDS.find((kind) => kind === word) ?? null

export const medicationOf = (row: {
  medicationActive: string | null
  medicationStrengthPct: number | null
}): { active: string; strengthPct: number } | null =>
  row.medicationActive === null || row.medicationStrengthPct === null
    ? null
    : { active: row.medicationActive, strengthPct: row.medicationStrengthPct }

export const assaysOf = (row: LotRow): Assay[] => row.assays.map(assayOf)

const Looks = z.array(LookAtLot)
/** What was seen at the gate, as the books keep it. */
export const looksOf = (row: { readonly looks: Prisma.JsonValue }): z.output<typeof Looks> => Looks.parse(row.looks)

const weighingOf = ({ grossKg, tareKg, emptyBagG }: LotRow): LotView['weighing'] =>
  grossKg === null || tareKg === null ? null : { grossKg: grossKg.toFixed(3), tareKg: tareKg.toFixed(3), emptyBagG }

/** What is owed by the terms, beside what the same price would make of the kilograms weighed. */
const paymentView = ({ netKg, pricePerKg, intakeMoisturePct, agreedMoisturePct, agreedPricePerKg }: LotRow): LotView['payment'] => {
  const price = parsePricePerKg((agreedPricePerKg ?? pricePerKg).toFixed(4))
  const net = parseKg(netKg.toFixed(3))
  const payment = paymentOf(net, intakeMoisturePct, { price, agreedMoisturePct })
  if (payment === null) throw new Error('a lot with an agreed moisture and none found')
  return {
    agreedMoisturePct,
    pricePerKg: (agreedPricePerKg ?? pricePerKg).toFixed(4),
    paidKg: formatKg(payment.paid),
    money: formatMoney(payment.money),
    moneyAsDelivered: formatMoney(costOf(net, price)),
  }
}

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
    weighing: weighingOf(row),
    noteKg: row.noteKg?.toFixed(3) ?? null,
    pricePerKg: row.pricePerKg.toFixed(4),
    payment: paymentView(row),
    intakeMoisturePct: row.intakeMoisturePct,
    deliveryNote: row.deliveryNote,
    storagePlace: row.storagePlace,
    expiresOn: row.expiresOn === null ? null : plainDate(row.expiresOn),
    expiryRule: row.expiryRule,
    looks: looksOf(row),
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
    madeBy: madeByOf(row.madeBy),
    revision: row.revision,
  }
}
