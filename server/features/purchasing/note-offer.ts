import { MAX_DELIVERY_KG } from '#contract/quantities'
import { MAX_VALID_DAYS, NoteSupplierOfferBody, SupplierOfferView } from '#contract/purchasing'
import type { z } from 'zod'
import { fieldError, MillError, type FieldError } from '#core/errors'
import { formatKg, grams, readKg } from '#core/quantity/mass'
import { NOT_THE_MILL } from '#features/lots/mill-supplier'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { addDays, dateOf, loadToday } from '#platform/mill-day'
import { wholeOffer } from './offer-view.js'

type Offered = z.output<typeof NoteSupplierOfferBody>

const validityFaults = ({ validUntil }: Offered, today: string): FieldError[] => {
  const latest = addDays(today, MAX_VALID_DAYS)
  const facts = { earliest: today, latest }
  if (validUntil < today) return [{ path: 'validUntil', code: 'in-the-past', message: `today, ${today}, or later`, facts }]
  return validUntil > latest ? [{ path: 'validUntil', code: 'too-far-off', message: `not after ${latest}`, facts }] : []
}

/** The fewest packs must be few enough to be bought: of what there is, and at one gate. */
const amountFaults = ({ packKg, fewestPacks, mostKg }: Offered): FieldError[] => {
  const fewest = (readKg(packKg) ?? 0) * fewestPacks
  if (fewest > MAX_DELIVERY_KG * 1000) {
    const facts = { max: Math.floor((MAX_DELIVERY_KG * 1000) / (readKg(packKg) ?? 1)), unit: '' }
    return [{ path: 'fewestPacks', code: 'above-possible', message: `at most ${facts.max} packs of ${packKg} kg in one delivery`, facts }]
  }
  if (mostKg === null || (readKg(mostKg) ?? 0) >= fewest) return []
  const facts = { fewestKg: formatKg(grams(fewest)) }
  return [{ path: 'mostKg', code: 'below-fewest', message: `at least the fewest packs together, ${facts.fewestKg} kg`, facts }]
}

const checkKnown = async (tx: Tx, { supplierId, ingredientId }: Offered): Promise<void> => {
  if ((await tx.ingredient.findUnique({ where: { id: ingredientId }, select: { id: true } })) === null)
    throw fieldError('ingredient-unknown', 'ingredientId', 'unknown', 'there is no such ingredient')
  if ((await tx.supplier.findUnique({ where: { id: supplierId, ...NOT_THE_MILL }, select: { id: true } })) === null)
    throw fieldError('supplier-unknown', 'supplierId', 'unknown', 'there is no such supplier')
}

/** Writes down what a supplier offers. It is not edited later: a correction is a new offer, and the wrong one is withdrawn. */
export const noteOffer = command({
  roles: ['manager', 'store-keeper'],
  input: NoteSupplierOfferBody,
  output: SupplierOfferView,
  status: 201,
  async run({ tx, actor, now, newId, record }, input) {
    const faults = [...validityFaults(input, await loadToday(tx, now)), ...amountFaults(input)]
    if (faults.length > 0) throw new MillError('bad-input', {}, faults)
    await checkKnown(tx, input)
    const id = newId()
    await tx.supplierOffer.create({
      data: { ...input, id, note: input.note.trim(), validUntil: dateOf(input.validUntil), notedAt: now, notedBy: actor.userId },
    })
    const offer = await wholeOffer(tx, id, now)
    const { number, supplierId, ingredientId, pricePerKg, packKg, fewestPacks, mostKg, deliveryDays, validUntil } = offer
    record('offer.noted', 'supplier-offer', id, {
      number,
      supplierId,
      ingredientId,
      pricePerKg,
      packKg,
      fewestPacks,
      mostKg,
      deliveryDays,
      validUntil,
    })
    return offer
  },
})
