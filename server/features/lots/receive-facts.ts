import { MillError, fieldError } from '#core/errors'
import { formatKg } from '#core/quantity/mass'
import { formatPricePerKg, parsePricePerKg, type PricePerKg } from '#core/quantity/money'
import { keepingOf, type Keeping } from '#core/receiving/keeping'
import { paymentOf } from '#core/receiving/payment'
import type { ReceiveLotBody } from '#contract/lots'
import type { Prisma, Tx } from '#platform/database/client'
import { addDays, dateOf, dayAt } from '#platform/mill-day'
import { NOT_THE_MILL } from './mill-supplier.js'
import { checkDelivery, massOf } from './receive-bounds.js'

/** A price of the wire with its four decimals. */
const priceOf = (text: string): PricePerKg => parsePricePerKg(Number(text).toFixed(4))

const findIngredient = async (tx: Tx, { ingredientId, supplierId }: ReceiveLotBody) => {
  const ingredient = await tx.ingredient.findUnique({ where: { id: ingredientId }, select: { shelfLifeDays: true, category: true } })
  if (ingredient === null) throw fieldError('ingredient-unknown', 'ingredientId', 'unknown', 'there is no such ingredient')
  const supplier = await tx.supplier.findUnique({ where: { id: supplierId, ...NOT_THE_MILL }, select: { id: true } })
  if (supplier === null) throw fieldError('supplier-unknown', 'supplierId', 'unknown', 'there is no such supplier')
  return ingredient
}

type Expiry = { readonly expiresOn: Date | null; readonly expiryRule: string }

/** The date that the keeper wrote, else as long as the lot keeps by the reference or the mill's own setting, else none. */
const expiryOf = ({ expiresOn, expiryOnLabel }: ReceiveLotBody, keeping: Keeping | null, delivered: string): Expiry => {
  if (expiresOn !== null) {
    const proposed = keeping !== null && expiresOn === addDays(delivered, keeping.days)
    return { expiresOn: dateOf(expiresOn), expiryRule: expiryOnLabel ? 'label' : proposed ? keeping.rule : 'keeper' }
  }
  return keeping === null
    ? { expiresOn: null, expiryRule: '' }
    : { expiresOn: dateOf(addDays(delivered, keeping.days)), expiryRule: keeping.rule }
}

/** What a delivery costs a kilogram as it came, and the terms where they are of another weight. Throws where they need a moisture. */
const pricesOf = ({ netKg, pricePerKg, intakeMoisturePct, agreedMoisturePct }: ReceiveLotBody) => {
  const price = priceOf(pricePerKg)
  const payment = paymentOf(massOf(netKg), intakeMoisturePct, { price, agreedMoisturePct })
  if (payment === null) throw new MillError('internal', { agreedMoisturePct: agreedMoisturePct ?? 0 })
  return {
    pricePerKg: formatPricePerKg(payment.pricePerKgAsDelivered),
    agreedMoisturePct,
    agreedPricePerKg: agreedMoisturePct === null ? null : formatPricePerKg(price),
  }
}

type Given = Omit<Prisma.LotUncheckedCreateInput, 'id' | 'receivedBy' | 'enteredAt'>

/** A delivery as the books keep it, checked: the same for one that is received and for one that is corrected. */
export const deliveryOf = async (tx: Tx, input: ReceiveLotBody, now: Date): Promise<Given> => {
  const { timeZone } = await tx.mill.findUniqueOrThrow({ where: { id: 1 }, select: { timeZone: true } })
  const { category, shelfLifeDays } = await findIngredient(tx, input)
  const { ingredientId, intakeMoisturePct, weighing, medication, receivedAt } = input
  const keeping = keepingOf({ ingredientId, category, shelfLifeDays, moisturePct: intakeMoisturePct })
  checkDelivery(input, { now, timeZone, keeping })
  return {
    ingredientId,
    supplierId: input.supplierId,
    receivedAt: new Date(receivedAt),
    bags: input.bags,
    netKg: formatKg(massOf(input.netKg)),
    grossKg: weighing?.grossKg ?? null,
    tareKg: weighing?.tareKg ?? null,
    emptyBagG: weighing?.emptyBagG ?? null,
    noteKg: input.noteKg,
    ...pricesOf(input),
    intakeMoisturePct,
    deliveryNote: input.deliveryNote,
    storagePlace: input.storagePlace,
    ...expiryOf(input, keeping, dayAt(new Date(receivedAt), timeZone)),
    looks: input.looks,
    medicationDeclared: input.medicationDeclared,
    medicationActive: medication?.active ?? null,
    medicationStrengthPct: medication?.strengthPct ?? null,
  }
}
