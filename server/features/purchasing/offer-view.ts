import type { OFFER_STATES, SupplierOfferView } from '#contract/purchasing'
import { MillError } from '#core/errors'
import { grams, parseKg } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'
import type { Prisma, Tx } from '#platform/database/client'
import { addDays, dateOf, loadToday, plainDate } from '#platform/mill-day'

export const withNames = {
  supplier: { select: { name: true } },
  ingredient: { select: { nameEn: true, nameSw: true, pictogram: true, category: true } },
  notedByUser: { select: { name: true } },
  withdrawnByUser: { select: { name: true } },
} as const satisfies Prisma.SupplierOfferInclude
export type OfferRow = Prisma.SupplierOfferGetPayload<{ include: typeof withNames }>

type State = (typeof OFFER_STATES)[number]

/** Which rows are in a state on a day; an offer stands through the whole of its last day. */
export const inState = (state: State, today: string): Prisma.SupplierOfferWhereInput => {
  switch (state) {
    case 'withdrawn':
      return { withdrawnAt: { not: null } }
    case 'expired':
      return { withdrawnAt: null, validUntil: { lt: dateOf(today) } }
    case 'standing':
      return { withdrawnAt: null, validUntil: { gte: dateOf(today) } }
    default:
      return state satisfies never
  }
}

const stateOf = ({ withdrawnAt, validUntil }: OfferRow, today: string): State => {
  if (withdrawnAt !== null) return 'withdrawn'
  return plainDate(validUntil) < today ? 'expired' : 'standing'
}

export const offerView = (row: OfferRow, today: string): SupplierOfferView => {
  const { packKg, fewestPacks } = row
  const fewest = grams(parseKg(packKg.toFixed(3)) * fewestPacks)
  return {
    id: row.id,
    number: row.number,
    state: stateOf(row, today),
    supplierId: row.supplierId,
    supplierName: row.supplier.name,
    ingredientId: row.ingredientId,
    ingredientNameEn: row.ingredient.nameEn,
    ingredientNameSw: row.ingredient.nameSw,
    pictogram: row.ingredient.pictogram,
    pricePerKg: row.pricePerKg.toFixed(4),
    packKg: packKg.toFixed(3),
    fewestPacks,
    fewestCost: formatMoney(costOf(fewest, parsePricePerKg(row.pricePerKg.toFixed(4)))),
    mostKg: row.mostKg?.toFixed(3) ?? null,
    deliveryDays: row.deliveryDays,
    arrivesOn: addDays(today, row.deliveryDays),
    validUntil: plainDate(row.validUntil),
    note: row.note,
    notedAt: row.notedAt.toISOString(),
    notedBy: row.notedByUser.name,
    withdrawnAt: row.withdrawnAt?.toISOString() ?? null,
    withdrawnBy: row.withdrawnByUser?.name ?? null,
    withdrawnReason: row.withdrawnReason,
    revision: row.revision,
  }
}

export const wholeOffer = async (tx: Tx, id: string, now: Date): Promise<SupplierOfferView> => {
  const row = await tx.supplierOffer.findUnique({ where: { id }, include: withNames })
  if (row === null) throw new MillError('not-found', { id })
  return offerView(row, await loadToday(tx, now))
}
