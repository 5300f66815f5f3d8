import type { z } from 'zod'
import type { OfferView, OrderDetailView, OrderView } from '#contract/orders'
import { formatKg, parseKg, sumGrams } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'
import { formatAccount, formatPrice } from '../../format/money'
import type { Language } from '../../i18n/language'

export type Order = z.output<typeof OrderView>
export type OrderDetail = z.output<typeof OrderDetailView>
export type Offer = z.output<typeof OfferView>
export type Feed = Offer['feeds'][number]

type Divided = Pick<OrderDetail, 'batches' | 'kg' | 'pricePerKg'>
/** Loads that nobody began: they can be planned again or given up. */
export const unbegunLoads = ({ batches }: Pick<OrderDetail, 'batches'>): OrderDetail['batches'] =>
  batches.filter(({ status, startedAt }) => startedAt === null && (status === 'planned' || status === 'on-hold'))
const sumKg = (kgs: readonly string[]): string => formatKg(sumGrams(kgs.map(parseKg)))
export const loadKgOf = (loads: OrderDetail['batches']): string => sumKg(loads.map(({ loadKg }) => loadKg))

/** What remains when the unbegun loads are given up: bags that can go at once, loads that are still open, or nothing. */
export type Remaining =
  { readonly kind: 'bags'; readonly kg: string; readonly price: string } | { readonly kind: 'open' } | { readonly kind: 'nothing' }
export const remainingOf = (order: Divided): Remaining => {
  const unbegun = new Set(unbegunLoads(order).map(({ id }) => id))
  const others = order.batches.filter(({ id, status }) => !unbegun.has(id) && status !== 'cancelled')
  if (others.length === 0) return { kind: 'nothing' }
  if (others.some(({ status }) => status !== 'done')) return { kind: 'open' }
  const kg = sumKg(others.map(({ madeKg }) => madeKg ?? '0.000'))
  return { kind: 'bags', kg, price: priceOf(Number(kg) > Number(order.kg) ? order.kg : kg, order.pricePerKg) }
}

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
