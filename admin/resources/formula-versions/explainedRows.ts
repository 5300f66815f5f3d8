import type { ExplanationView } from '#contract/solving'
import type { NutrientId } from '#core/composition/nutrients'
import { formatDate } from '../../format/dates'
import { formatAccount, formatPrice } from '../../format/money'
import { formatKg, nutrientPlaces } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import type { LimitCost } from '../../ui/pictures/LimitCosts'
import type { PriceRange } from '../../ui/pictures/PriceRanges'
import { bagKg } from '../offers/offerWords'
import { conflictTold, isNutrient, limitName, limitValue, sidesTold, sureTold, type LimitWords } from './limitWords'
import { ingredientName } from './mixFigures'

type Limit = ExplanationView['limits'][number]
type Price = ExplanationView['prices'][number]
type Move = ExplanationView['relaxations'][number]

/** Less than this a tonne rounds to nothing. */
const WORTH_SAYING = 0.5

const nutrientOf = (limit: Limit['limit']): NutrientId | undefined => {
  const id = String(limit['nutrient'] ?? '')
  return isNutrient(id) ? id : undefined
}
const figureOf = ({ limit, unit }: Pick<Limit, 'limit' | 'unit'>, value: number): string => limitValue(value, unit, nutrientOf(limit))

const SHARE_PLACES = 1
const RATIO_PLACES = 2
/** A figure that was worked out has endless decimals: it is told as finely as people set such a limit. */
export const workedOutValue = (value: number, unit: string, nutrient?: NutrientId): string => {
  const places = nutrient ? nutrientPlaces(nutrient) : unit === '%' ? SHARE_PLACES : RATIO_PLACES
  return limitValue(Number(value.toFixed(places)), unit, nutrient)
}

/** Where a step's saving ceases: at its own end nothing more is known, short of it the saving is already less. */
const holdsTold = (saving: string, row: Limit, { t }: LimitWords): string => {
  const { from, to, holdsTo } = row
  if (holdsTo === null) return t('explain.holdsAlways', { saving })
  if (holdsTo === to) return saving
  const down = to < from
  if (down ? holdsTo > to : holdsTo < to) return t('explain.bends', { saving })
  return t(down ? 'explain.holdsDown' : 'explain.holdsUp', { saving, end: workedOutValue(holdsTo, row.unit, nutrientOf(row.limit)) })
}

/** What each limit at its edge costs, one sensible step and how far that holds; the dearest first. */
export const limitRows = ({ limits }: Pick<ExplanationView, 'limits'>, words: LimitWords, currency: string): LimitCost[] =>
  limits
    .filter(({ savesPerTonne }) => savesPerTonne >= WORTH_SAYING)
    .map((row) => {
      const from = figureOf(row, row.from)
      const to = figureOf(row, row.to)
      const savingText = formatPrice(row.savesPerTonne, currency)
      return {
        key: row.row,
        name: limitName(row.limit, words),
        from,
        to,
        saving: row.savesPerTonne,
        savingText,
        told: holdsTold(words.t('picture.savesPlain', { from, to, money: savingText }), row, words),
      }
    })
    .sort((a, b) => b.saving - a.saving)

/** No price is below nothing, so a bound there is none. */
const real = (price: number | null): number | null => (price !== null && price > 0 ? price : null)

const priceTold = (name: string, row: Price, { t }: LimitWords, currency: string): string => {
  const money = (price: number): string => formatAccount(price, currency)
  const now = money(row.pricePerKg)
  const [from, to, enters] = [real(row.staysFrom), row.staysTo, real(row.entersBelow)]
  if (!row.used) return enters === null ? t('explain.neverEnters', { name, now }) : t('explain.enters', { name, now, price: money(enters) })
  if (!row.staysKnown) return t('explain.drifts', { name, now })
  if (from !== null && to !== null) return t('explain.stays', { name, now, from: money(from), to: money(to) })
  if (to !== null) return t('explain.staysBelow', { name, now, to: money(to) })
  return from === null ? t('explain.staysAlways', { name, now }) : t('explain.staysAbove', { name, now, from: money(from) })
}

/** The nearest price at which the mix changes, as a share of today's. */
type Turn = { readonly share: number; readonly price: number; readonly rises: boolean }
const turnOf = (row: Price): Turn | null => {
  const turns = (row.used && row.staysKnown ? [real(row.staysFrom), row.staysTo] : [real(row.entersBelow)]).flatMap((price): Turn[] =>
    price === null || row.pricePerKg <= 0
      ? []
      : [{ price, rises: price >= row.pricePerKg, share: Math.abs(price - row.pricePerKg) / row.pricePerKg }],
  )
  return turns.sort((a, b) => a.share - b.share)[0] ?? null
}
const distance = (row: Price): number => turnOf(row)?.share ?? Number.POSITIVE_INFINITY

type Told = { readonly words: LimitWords; readonly language: Language; readonly currency: string }

/** One row an ingredient, for all its lots: what is used first, each nearest to a change first. */
export const priceRows = ({ prices }: Pick<ExplanationView, 'prices'>, told: Told): (PriceRange & { readonly drifts: boolean })[] =>
  [...prices]
    .sort((a, b) => Number(b.used) - Number(a.used) || distance(a) - distance(b))
    .map((row) => {
      const name = ingredientName(row, told.language)
      return {
        key: row.ingredientId,
        name,
        today: row.pricePerKg,
        todayText: formatAccount(row.pricePerKg, told.currency),
        ...(row.used && row.staysKnown ? { from: real(row.staysFrom), to: row.staysTo } : {}),
        ...(row.used ? {} : { entersBelow: real(row.entersBelow) }),
        used: row.used,
        /** Certainty lets it move with every price, so it has no range. */
        drifts: row.used && !row.staysKnown,
        sentence: priceTold(name, row, told.words, told.currency),
      }
    })

/** Which price changes the mix first, measured as a share of today's. */
export const firstChange = ({ prices }: Pick<ExplanationView, 'prices'>, told: Told): string => {
  const { t } = told.words
  const [first] = [...prices].sort((a, b) => distance(a) - distance(b))
  const turn = first && turnOf(first)
  if (!first || !turn) return t('explain.pricesNone')
  const facts = { name: ingredientName(first, told.language), price: formatAccount(turn.price, told.currency) }
  // where certainty moves the mix with every price, only what comes in has a price of its own
  if (prices.some(({ used, staysKnown }) => used && !staysKnown)) return t('explain.pricesEnter', facts)
  return t(turn.rises ? 'explain.pricesAnswer' : 'explain.pricesAnswerFall', facts)
}

/** What certainty costs, in all and by limit. Null where none is asked. */
export const certaintyTold = (
  { certainty }: Pick<ExplanationView, 'certainty'>,
  words: LimitWords,
  currency: string,
): { readonly sentence: string; readonly rows: readonly { readonly key: string; readonly sentence: string }[] } | null => {
  if (!certainty) return null
  const { t } = words
  const money = (figure: number): string => formatPrice(figure, currency)
  const { costPerTonne, costAtMeanPerTonne } = certainty
  const costs = Math.max(0, costPerTonne - costAtMeanPerTonne)
  const facts = { money: money(costs), cost: money(costPerTonne), mean: money(costAtMeanPerTonne) }
  return {
    sentence: t(costs < WORTH_SAYING ? 'explain.certaintyFree' : 'explain.certaintyCosts', facts),
    rows: [...certainty.limits]
      .sort((a, b) => b.savesPerTonne - a.savesPerTonne)
      .map(({ nutrient, side, asked, savesPerTonne }) => {
        const sure = sureTold(Math.round(asked * 1000) / 1000, words)
        const limit = `${isNutrient(nutrient) ? t(`nutrient.${nutrient}`) : nutrient} ${t(`explain.side.${side}`)}${sure}`
        return {
          key: `${nutrient} ${side}`,
          sentence: t(savesPerTonne < WORTH_SAYING ? 'explain.costsNothing' : 'explain.certaintyOf', {
            limit,
            money: money(savesPerTonne),
          }),
        }
      }),
  }
}

/** What a person may set: the batch, the stock and the dose are not limits of the formula. */
const SETTABLE: ReadonlySet<string> = new Set(['nutrient', 'ratio', 'per-day', 'ingredient', 'group'])

export type MoveTold = { readonly row: string; readonly to: number; readonly settable: boolean; readonly sentence: string }

/** A change of a limit that would let a mix exist: "Lower protein from 21 % to 19.8 %". */
export const moveTold = ({ row, limit, from, to, unit }: Move, words: LimitWords): MoveTold => {
  const { t, nameOf } = words
  const kind = String(limit['kind'])
  const facts = { name: limitName(limit, words), from: figureOf({ limit, unit }, from), to: figureOf({ limit, unit }, to) }
  const rises = to > from
  const sided = limit['side'] === 'max' ? (rises ? 'explain.allow' : 'explain.allowLess') : rises ? 'explain.raise' : 'explain.lower'
  const sentence =
    kind === 'batch'
      ? t('explain.smallerBatch', facts)
      : kind === 'stock'
        ? t('explain.needStock', {
            ...facts,
            lot: String(limit['lotNumber'] ?? ''),
            ingredient: nameOf(String(limit['ingredientId'] ?? '')),
          })
        : t(sided, facts)
  return { row, to, settable: SETTABLE.has(kind), sentence }
}

type Purchase = NonNullable<ExplanationView['purchase']>
type Item = Purchase['items'][number]
export type PurchaseTold = {
  readonly rows: readonly { readonly key: string; readonly sentence: string }[]
  readonly total: string
  /** When it comes and whether that is in time, and whether it is proven to be the cheapest; as far as these are known. */
  readonly notes: readonly string[]
}

const offerTold = (item: Item, offer: NonNullable<Item['offer']>, { words: { t }, language, currency }: Told): string =>
  t('explain.buyPacks', {
    smart_count: offer.packs,
    pack: bagKg(offer.packKg),
    name: ingredientName(item, language),
    supplier: offer.supplierName,
    money: formatPrice(item.cost, currency),
    day: formatDate(offer.arrivesOn, language),
    left: Number(item.leftKg) < LEAST_LEFT_KG ? t('explain.buyNoneLeft') : t('explain.buyLeft', { kg: leftKg(item.leftKg) }),
  })

/** Under this nothing is left that anybody would weigh. */
const LEAST_LEFT_KG = 0.05
/** What is left of sacks is told in whole kilograms; a little of a small pack more finely. */
const FINELY_BELOW_KG = 10
const leftKg = (kg: string): string => formatKg(kg, Number(kg) < FINELY_BELOW_KG ? 1 : 0)

const pricedTold = (item: Item, { words: { t }, language, currency }: Told): string => {
  const facts = { kg: formatKg(item.kg), name: ingredientName(item, language), money: formatPrice(item.cost, currency) }
  return item.pricedOn === null
    ? t('explain.buyPricedNoDay', facts)
    : t('explain.buyPriced', { ...facts, day: formatDate(item.pricedOn, language) })
}

const purchaseNotes = ({ arrivesOn, neededOn, late, proven }: Purchase, { words: { t }, language }: Told): string[] => {
  const day = (date: string): string => formatDate(date, language)
  return [
    ...(arrivesOn === null ? [] : [t('explain.buyByDay', { day: day(arrivesOn) })]),
    ...(late === null || neededOn === null ? [] : [t(late ? 'explain.buyLate' : 'explain.buyInTime', { day: day(neededOn) })]),
    ...(proven ? [] : [t('explain.buyNotProven')]),
  ]
}

/** What to buy, a sentence each, and what it costs together. */
export const purchaseTold = ({ purchase }: Pick<ExplanationView, 'purchase'>, told: Told): PurchaseTold | null =>
  purchase && purchase.items.length > 0
    ? {
        rows: purchase.items.map((item) => ({
          key: item.offer?.id ?? item.ingredientId,
          sentence: item.offer === null ? pricedTold(item, told) : offerTold(item, item.offer, told),
        })),
        total: told.words.t('explain.buyTogether', { money: formatPrice(purchase.total, told.currency) }),
        notes: purchaseNotes(purchase, told),
      }
    : null

/** Why nothing that could be bought helps; null where something does, or nothing was looked for. */
export const noPurchaseTold = ({ noPurchase }: Pick<ExplanationView, 'noPurchase'>, words: LimitWords): string | null => {
  if (noPurchase === null) return null
  const { t } = words
  switch (noPurchase.reason) {
    case 'nothing-to-buy':
      return t('explain.buyNothing')
    case 'failed':
      return t('explain.buyFailed')
    case 'not-enough': {
      const limits = conflictTold(
        noPurchase.limits.map((limit, i) => ({ row: String(i), limit })),
        words,
      )
      return limits === '' ? t('explain.buyNotEnough') : t('explain.buyNoHelp', { limits })
    }
    default:
      return noPurchase.reason satisfies never
  }
}

/** Why nothing is explained. */
export const failedTold = (reason: string | null, { t }: LimitWords): string => {
  if (reason === 'whole-amounts') return t('explain.wholeBags')
  return t(`mixture.failedReason.${reason === 'time-limit' || reason === 'unbounded' ? reason : 'other'}`)
}

/** A limit of a mix in words with its value, whichever kind: "protein at least 16.5 %". */
export const sideTold = (name: string, side: 'min' | 'max', value: string, words: LimitWords): string =>
  sidesTold(name, side === 'min' ? { min: value } : { max: value }, words)
