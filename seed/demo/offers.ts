import { noteOffer } from '#features/purchasing/note-offer'
import { withdrawOffer } from '#features/purchasing/withdraw-offer'
import { addDays, dayAt } from '#platform/mill-day'
import { DEMO_TIME_ZONE, type Deed, type MomentBefore } from './past.js'
import { SUPPLIERS, type SupplierKey } from './store.js'

type DemoOffer = {
  readonly supplier: SupplierKey
  readonly ingredient: string
  readonly daysAgo: number
  readonly pricePerKg: string
  readonly packKg: string
  readonly fewestPacks?: number
  readonly mostKg?: string
  readonly deliveryDays: number
  /** Counted from the day on which it was noted. */
  readonly validDays: number
  readonly note?: string
  /** Withdrawn the next day, and why. */
  readonly withdrawn?: string
}

/** What suppliers offered in these weeks, oldest first; all invented. Three have expired and one was withdrawn. */
const OFFERS: readonly DemoOffer[] = [
  { supplier: 'ota', ingredient: 'maize_white', daysAgo: 40, pricePerKg: '39.50', packKg: '90', deliveryDays: 1, validDays: 14 },
  {
    supplier: 'bonde',
    ingredient: 'soybean_cake_expeller',
    daysAgo: 35,
    pricePerKg: '93.00',
    packKg: '50',
    fewestPacks: 10,
    deliveryDays: 3,
    validDays: 21,
  },
  { supplier: 'ziwa', ingredient: 'omena_dagaa_meal', daysAgo: 28, pricePerKg: '132.00', packKg: '50', deliveryDays: 2, validDays: 10 },
  {
    supplier: 'maua',
    ingredient: 'wheat_pollard',
    daysAgo: 12,
    pricePerKg: '13.00',
    packKg: '50',
    deliveryDays: 2,
    validDays: 30,
    withdrawn: 'The price was misheard: it is 31, not 13',
  },
  { supplier: 'maua', ingredient: 'wheat_pollard', daysAgo: 11, pricePerKg: '31.00', packKg: '50', deliveryDays: 2, validDays: 30 },
  { supplier: 'ota', ingredient: 'maize_white', daysAgo: 9, pricePerKg: '41.50', packKg: '90', deliveryDays: 1, validDays: 21 },
  {
    supplier: 'maua',
    ingredient: 'maize_white',
    daysAgo: 8,
    pricePerKg: '40.80',
    packKg: '90',
    fewestPacks: 40,
    mostKg: '9000',
    deliveryDays: 4,
    validDays: 20,
    note: 'By the lorry only',
  },
  {
    supplier: 'bonde',
    ingredient: 'soybean_cake_expeller',
    daysAgo: 6,
    pricePerKg: '95.00',
    packKg: '50',
    fewestPacks: 5,
    mostKg: '4000',
    deliveryDays: 3,
    validDays: 30,
    note: 'Pressed on Tuesdays',
  },
  {
    supplier: 'bonde',
    ingredient: 'sunflower_cake_high_fibre',
    daysAgo: 6,
    pricePerKg: '45.50',
    packKg: '50',
    mostKg: '2500',
    deliveryDays: 3,
    validDays: 30,
  },
  {
    supplier: 'ziwa',
    ingredient: 'omena_dagaa_meal',
    daysAgo: 4,
    pricePerKg: '139.00',
    packKg: '50',
    mostKg: '600',
    deliveryDays: 2,
    validDays: 14,
    note: 'Dried on racks, as he says',
  },
  {
    supplier: 'jiwe',
    ingredient: 'limestone',
    daysAgo: 4,
    pricePerKg: '10.80',
    packKg: '50',
    fewestPacks: 20,
    deliveryDays: 6,
    validDays: 60,
  },
  {
    supplier: 'nuru',
    ingredient: 'dl_methionine_99',
    daysAgo: 3,
    pricePerKg: '635.00',
    packKg: '25',
    deliveryDays: 10,
    validDays: 45,
    note: 'From the port',
  },
  { supplier: 'nuru', ingredient: 'l_lysine_hcl_78', daysAgo: 3, pricePerKg: '385.00', packKg: '25', deliveryDays: 10, validDays: 45 },
]

const bodyOf = (offer: DemoOffer, supplierId: string, noted: string) => ({
  supplierId,
  ingredientId: offer.ingredient,
  pricePerKg: offer.pricePerKg,
  packKg: offer.packKg,
  fewestPacks: offer.fewestPacks ?? 1,
  mostKg: offer.mostKg ?? null,
  deliveryDays: offer.deliveryDays,
  validUntil: addDays(noted, offer.validDays),
  note: offer.note ?? '',
})

const deedsOfOffer = (offer: DemoOffer, when: MomentBefore): Deed[] => {
  const made = { id: '', revision: 0 }
  const at = when(offer.daysAgo, 11, 20)
  const noting: Deed = {
    at,
    run: async (past) => {
      const name = SUPPLIERS.find(({ key }) => key === offer.supplier)?.name ?? ''
      const { id: supplierId } = await past.db.supplier.findUniqueOrThrow({ where: { name }, select: { id: true } })
      const { id, revision } = await past.do('manager', noteOffer, bodyOf(offer, supplierId, dayAt(at, DEMO_TIME_ZONE)))
      Object.assign(made, { id, revision })
    },
  }
  const { withdrawn: reason } = offer
  if (reason === undefined) return [noting]
  const withdrawing: Deed = {
    at: when(offer.daysAgo - 1, 8, 10),
    run: async (past) => {
      await past.do('manager', withdrawOffer, { ...made, reason })
    },
  }
  return [noting, withdrawing]
}

/** The offers of these weeks, noted by the manager on the telephone. */
export const deedsOfOffers = (when: MomentBefore): Deed[] => OFFERS.flatMap((offer) => deedsOfOffer(offer, when))
