import type { NoteSupplierOfferBody } from '#contract/purchasing'
import { readTyped } from '../../format/typed'
import type { StaffKey } from '../../i18n/words'
import type { Offer } from './offerWords'

/** An offer as it is being typed: texts as typed. */
export type OfferDraft = {
  readonly supplierId: string
  readonly ingredientId: string
  readonly pricePerKg: string
  readonly packKg: string
  readonly fewestPacks: string
  readonly mostKg: string
  readonly deliveryDays: string
  readonly validUntil: string
  readonly note: string
}

/** The sack of the trade; common practice, no source. */
const USUAL_PACK_KG = '50'

export const emptyOffer = (supplierId: string): OfferDraft => ({
  supplierId,
  ingredientId: '',
  pricePerKg: '',
  packKg: USUAL_PACK_KG,
  fewestPacks: '',
  mostKg: '',
  deliveryDays: '',
  validUntil: '',
  note: '',
})

const plain = (figure: string | null): string => (figure === null ? '' : String(Number(figure)))

/** What a correction or a later offer starts from; until when it stands is asked anew. */
export const draftLike = (offer: Offer): OfferDraft => ({
  supplierId: offer.supplierId,
  ingredientId: offer.ingredientId,
  pricePerKg: plain(offer.pricePerKg),
  packKg: plain(offer.packKg),
  fewestPacks: offer.fewestPacks === 1 ? '' : String(offer.fewestPacks),
  mostKg: plain(offer.mostKg),
  deliveryDays: String(offer.deliveryDays),
  validUntil: '',
  note: offer.note,
})

export type OfferFaults = Readonly<Partial<Record<keyof OfferDraft, StaffKey>>>
type Reading = { readonly kind: 'body'; readonly body: NoteSupplierOfferBody } | { readonly kind: 'faults'; readonly faults: OfferFaults }

type Figure = { readonly text: string | null } | { readonly fault: StaffKey }

const figure = (typed: string, allowed: { readonly nothing?: boolean; readonly zero?: boolean; readonly whole?: boolean }): Figure => {
  const reading = readTyped(typed)
  if (reading.kind === 'empty') return allowed.nothing ? { text: null } : { fault: 'field.empty' }
  if (reading.kind !== 'number') return { fault: 'field.notANumber' }
  const value = Number(reading.text)
  if (allowed.whole && !Number.isInteger(value)) return { fault: 'offers.wholeNumber' }
  if (allowed.zero ? value < 0 : value <= 0) return { fault: allowed.zero ? 'offers.notBelow0' : 'field.above0' }
  return { text: reading.text }
}

/** What is sent to the mill, or what must be put right first, by the field it stands in. */
export const readOffer = (draft: OfferDraft): Reading => {
  const figures = {
    pricePerKg: figure(draft.pricePerKg, {}),
    packKg: figure(draft.packKg, {}),
    fewestPacks: figure(draft.fewestPacks, { nothing: true, whole: true }),
    mostKg: figure(draft.mostKg, { nothing: true }),
    deliveryDays: figure(draft.deliveryDays, { zero: true, whole: true }),
  }
  const faults: OfferFaults = {
    ...(draft.ingredientId === '' ? { ingredientId: 'field.chooseOne' as const } : {}),
    ...(draft.supplierId === '' ? { supplierId: 'field.chooseOne' as const } : {}),
    ...(draft.validUntil === '' ? { validUntil: 'field.empty' as const } : {}),
    ...Object.fromEntries(Object.entries(figures).flatMap(([name, read]) => ('fault' in read ? [[name, read.fault]] : []))),
  }
  if (Object.keys(faults).length > 0) return { kind: 'faults', faults }
  const text = (read: Figure): string | null => ('text' in read ? read.text : null)
  return {
    kind: 'body',
    body: {
      supplierId: draft.supplierId,
      ingredientId: draft.ingredientId,
      pricePerKg: text(figures.pricePerKg) ?? '',
      packKg: text(figures.packKg) ?? '',
      fewestPacks: Number(text(figures.fewestPacks) ?? 1),
      mostKg: text(figures.mostKg),
      deliveryDays: Number(text(figures.deliveryDays)),
      validUntil: draft.validUntil,
      note: draft.note.trim(),
    },
  }
}

/** Bags, kilograms and money of the fewest that are sold, while they can be read: people check an offer by them. */
export const fewestOf = (draft: OfferDraft): { readonly bags: number; readonly packKg: number; readonly money: number } | null => {
  const [pack, price] = [figure(draft.packKg, {}), figure(draft.pricePerKg, {})]
  const fewest = figure(draft.fewestPacks, { nothing: true, whole: true })
  if (!('text' in pack) || !('text' in price) || !('text' in fewest)) return null
  const bags = Number(fewest.text ?? 1)
  return { bags, packKg: Number(pack.text), money: bags * Number(pack.text) * Number(price.text) }
}
