import type { z } from 'zod'
import type { OfferView, OrderDetailView, OrderView } from '#contract/orders'
import { parseKg } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'
import { formatAccount, formatPrice } from '../../format/money'
import type { Language } from '../../i18n/language'

export type Order = z.output<typeof OrderView>
export type OrderDetail = z.output<typeof OrderDetailView>
export type Offer = z.output<typeof OfferView>
export type Feed = Offer['feeds'][number]

type NamedFeed = { readonly feedNameEn: string; readonly feedNameSw: string }
export const feedName = (row: NamedFeed, language: Language): string => (language === 'en' ? row.feedNameEn : row.feedNameSw)

/** "KES 11,040" where it is whole shillings, "KES 11,040.50" where it is not. */
export const formatTotal = (money: string): string => (money.endsWith('.00') ? formatPrice(money) : formatAccount(money))

/** What so many kilograms cost, exactly as the mill counts it. */
export const priceOf = (kg: string, pricePerKg: string): string => formatMoney(costOf(parseKg(kg), parsePricePerKg(pricePerKg)))

export const isBlocked = ({ findings }: Feed): boolean => findings.some(({ severity }) => severity === 'block')

export type Offered = { readonly open: readonly Feed[]; readonly refused: readonly Feed[] }
/** The feeds one may choose, the proposed one first, and those that a safety check keeps from these birds. */
export const sortFeeds = (feeds: readonly Feed[]): Offered => ({
  open: feeds.filter((feed) => !isBlocked(feed)).sort((a, b) => Number(b.proposed) - Number(a.proposed)),
  refused: feeds.filter(isBlocked),
})

/** Whole bags nearest to what is proposed, at least one. */
export const proposedBags = ({ proposedKg, bagKg }: Offer): number =>
  proposedKg === null ? 1 : Math.max(1, Math.round(Number(proposedKg) / Number(bagKg)))
