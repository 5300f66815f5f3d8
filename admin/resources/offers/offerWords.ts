import type { SupplierOfferView } from '#contract/purchasing'
import { formatDate } from '../../format/dates'
import { formatAccount, formatPrice } from '../../format/money'
import { formatNumber, withUnit } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

export type Offer = SupplierOfferView
export type OfferWords = { readonly t: Translate<StaffKey>; readonly language: Language; readonly currency: string }

const PLACES = 3
/** Kilograms as a bag is named: "50 kg", "22.5 kg"; no noughts behind the point. */
export const bagKg = (kg: string | number): string => {
  const places = String(Number(kg)).split('.')[1]?.length ?? 0
  return withUnit(formatNumber(kg, Math.min(places, PLACES)), 'kg')
}

export const priceTold = ({ pricePerKg }: Pick<Offer, 'pricePerKg'>, { t, currency }: OfferWords): string =>
  t('offers.priceOf', { price: formatAccount(pricePerKg, currency) })

/** "bags of 50 kg, at least 10 (500 kg, KES 35,000)". */
export const packsTold = (
  { packKg, fewestPacks, fewestCost }: Pick<Offer, 'packKg' | 'fewestPacks' | 'fewestCost'>,
  { t, currency }: OfferWords,
): string => {
  const pack = bagKg(packKg)
  if (fewestPacks === 1) return t('offers.packs', { pack })
  const kg = bagKg(Number(packKg) * fewestPacks)
  return t('offers.packsFrom', { pack, fewest: fewestPacks, kg, money: formatPrice(fewestCost, currency) })
}

export const mostTold = ({ mostKg }: Pick<Offer, 'mostKg'>, { t }: OfferWords): string =>
  mostKg === null ? t('offers.mostUnknown') : t('offers.most', { kg: bagKg(mostKg) })

export const daysTold = ({ deliveryDays }: Pick<Offer, 'deliveryDays'>, { t }: OfferWords): string =>
  deliveryDays === 0 ? t('offers.sameDay') : t('offers.inDays', { smart_count: deliveryDays })

export const stateTold = (
  offer: Pick<Offer, 'state' | 'validUntil' | 'withdrawnAt' | 'withdrawnBy' | 'withdrawnReason'>,
  { t, language }: OfferWords,
): string => {
  switch (offer.state) {
    case 'standing':
      return t('offers.stands', { day: formatDate(offer.validUntil, language) })
    case 'expired':
      return t('offers.expired', { day: formatDate(offer.validUntil, language) })
    case 'withdrawn':
      return t('offers.withdrawn', {
        day: formatDate(offer.withdrawnAt ?? '', language),
        who: offer.withdrawnBy ?? '',
        reason: offer.withdrawnReason ?? '',
      })
    default:
      return offer.state satisfies never
  }
}
