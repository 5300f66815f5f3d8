import type { z } from 'zod'
import type { FlockView, MemberView } from '#contract/members'
import type { OfferView, OrderDetailView, OrderView } from '#contract/orders'
import { parseKg } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'
import { formatAccount, formatPrice } from '../format/money'
import type { Language } from '../i18n/language'
import type { MemberKey } from '../i18n/words'
import type { Translate } from '../i18n/translate'

export type Order = z.output<typeof OrderView>
export type OrderDetail = z.output<typeof OrderDetailView>
export type Offer = z.output<typeof OfferView>
export type Feed = Offer['feeds'][number]
export type Flock = z.output<typeof FlockView>
export type Member = z.output<typeof MemberView>

/** One page of the newest orders is enough for what is open and what was collected of late. */
export const RECENT_ORDERS = '/orders?perPage=100&sort=placedAt&order=desc'
export const OFFERS = '/offers?perPage=100'

const PAST: ReadonlySet<string> = new Set(['collected', 'cancelled'])
/** Still to come, what is ready first. */
export const openOrders = (orders: readonly Order[]): readonly Order[] =>
  orders
    .filter(({ status }) => !PAST.has(status))
    .sort((a, b) => Number(b.status === 'ready') - Number(a.status === 'ready') || a.dueOn.localeCompare(b.dueOn))
export const earlierOrders = (orders: readonly Order[]): readonly Order[] => orders.filter(({ status }) => PAST.has(status))
export const canCancel = ({ status }: Order): boolean => status === 'ordered' || status === 'planned'

/** At the beginning of a line: "Kuku 200". */
export const asLine = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** Inside a Swahili sentence the name begins small: "mifuko 4 ya chakula cha kuku wa mayai". */
const small = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)
export const feedName = (row: { nameEn: string; nameSw: string }, language: Language): string =>
  language === 'en' ? row.nameEn : row.nameSw
export const orderFeed = ({ feedNameEn, feedNameSw }: Order, language: Language): string =>
  feedName({ nameEn: feedNameEn, nameSw: feedNameSw }, language)

/** "KES 11,040" where it is whole shillings, "KES 11,040.50" where it is not. */
export const formatTotal = (money: string, currency: string): string =>
  money.endsWith('.00') ? formatPrice(money, currency) : formatAccount(money, currency)

/** What so many kilograms cost, exactly as the mill counts it. */
export const priceOf = (kg: string, pricePerKg: string): string => formatMoney(costOf(parseKg(kg), parsePricePerKg(pricePerKg)))

const bagsIn = ({ kg, bagKg }: { kg: string; bagKg: string }): number => Number(kg) / Number(bagKg)

type Words = { readonly t: Translate<MemberKey>; readonly language: Language }
/** "4 bags of layer mash"; the feed alone where the amount is no whole number of bags. */
export const bagsOfFeed = (order: Order, { t, language }: Words): string => {
  const bags = bagsIn(order)
  const feed = orderFeed(order, language)
  return Number.isInteger(bags) ? t('member.bagsOfFeed', { smart_count: bags, feed: small(feed) }) : feed
}

export const isBlocked = ({ findings }: Feed): boolean => findings.some(({ severity }) => severity === 'block')

/** Whole bags nearest to what is proposed, at least one. */
export const proposedBags = ({ proposedKg, bagKg }: Offer): number =>
  proposedKg === null ? 1 : Math.max(1, Math.round(Number(proposedKg) / Number(bagKg)))

/** Young birds are counted in days: in three weeks they outgrow a feed. */
const WEEKS_FROM_DAYS = 21
export const ageWords = (ageDays: number, t: Translate<MemberKey>): string =>
  ageDays < WEEKS_FROM_DAYS
    ? t('member.age.days', { smart_count: ageDays })
    : t('member.age.weeks', { smart_count: Math.floor(ageDays / 7) })
