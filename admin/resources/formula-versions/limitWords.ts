import type { MixView } from '#contract/formulas'
import { NUTRIENTS, NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
import { formatNumber, nutrientPlaces, withUnit } from '../../format/numbers'
import { agreementOf } from '../../i18n/agreement'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

export type LimitWords = { readonly t: Translate<StaffKey>; readonly nameOf: (ingredientId: string) => string }
type LimitFacts = MixView['conflict'][number]['limit']

export const isNutrient = (word: string): word is NutrientId => NUTRIENT_IDS.some((id) => id === word)

/** Nobody sets a limit finer than this; what a solver adds behind it is noise (15.9999999999 is 16). */
const DIGITS_SET = 8
const decimalsOf = (value: number): number => String(Number(value.toPrecision(DIGITS_SET))).split('.')[1]?.length ?? 0

/** A limit is shown as finely as it was set, and not more coarsely than its nutrient is. */
export const limitFigure = (value: number, nutrient?: NutrientId): string =>
  formatNumber(value, Math.max(decimalsOf(value), nutrient ? nutrientPlaces(nutrient) : 0))

/** The figure with its unit: "16.5 %", "2,750 kcal/kg"; a ratio has none. */
export const limitValue = (value: number, unit: string, nutrient?: NutrientId): string =>
  unit === '' ? limitFigure(value, nutrient) : withUnit(limitFigure(value, nutrient), unit)

export const nutrientLimitValue = (nutrient: NutrientId, value: number): string => limitValue(value, NUTRIENTS[nutrient].unit, nutrient)

const DAY_UNIT = { '%': 'g', 'mg/kg': 'mg', 'mEq/kg': 'mEq', 'kcal/kg': 'kcal' } as const
/** In what a bird's share of a nutrient is told. */
export const dayUnit = (nutrient: NutrientId): string => DAY_UNIT[NUTRIENTS[nutrient].unit]

/** The words of the certainties that the page offers. */
const SURE: ReadonlyMap<number, StaffKey> = new Map([
  [0.9, 'limit.sure.09'],
  [0.95, 'limit.sure.095'],
  [0.975, 'limit.sure.0975'],
])
/** ", 19 in 20" behind a limit that must be so sure; nothing where it is held on average. */
export const sureTold = (certainty: number | undefined, { t }: Pick<LimitWords, 't'>): string => {
  if (certainty === undefined || certainty <= 0.5) return ''
  const word = SURE.get(certainty)
  return `, ${word ? t(word) : t('limit.sure.other', { times: limitFigure(certainty * 100) })}`
}

type Sides = { readonly min?: string | undefined; readonly max?: string | undefined }

/** "protein at least 16.5 %, at most 18 %"; in Swahili the verb agrees with the noun. */
export const sidesTold = (name: string, { min, max }: Sides, { t }: Pick<LimitWords, 't'>): string => {
  const most = (text: string, subject: string): string => t(`limit.most.${agreementOf(name)}`, { name: subject, value: text }).trim()
  if (min !== undefined && max !== undefined) return `${t('limit.min', { name, value: min })}, ${most(max, '')}`
  if (min !== undefined) return t('limit.min', { name, value: min })
  return max === undefined ? `${name}: ${t('limit.none')}` : most(max, name)
}

const text = (fact: string | number | null | undefined): string => (fact === null || fact === undefined ? '' : String(fact))

/** What is limited: "protein", "calcium to available phosphorus", "soya cake", "lot 41". */
export const limitName = (limit: LimitFacts, { t, nameOf }: LimitWords): string => {
  const nutrient = (id: string): string => (isNutrient(id) ? t(`nutrient.${id}`) : id)
  switch (limit['kind']) {
    case 'nutrient':
      return nutrient(text(limit['nutrient']))
    case 'ratio':
      return t('limit.ratio', { numerator: nutrient(text(limit['numerator'])), denominator: nutrient(text(limit['denominator'])) })
    case 'per-day':
      return t('perDay.limit', { name: nutrient(text(limit['nutrient'])) })
    case 'change':
    case 'ingredient':
    case 'medicine':
      return nameOf(text(limit['ingredientId']))
    case 'group':
      return text(limit['groupId'])
    case 'stock':
      return `${nameOf(text(limit['ingredientId']))}, ${t('picture.lot', { code: text(limit['lotNumber']) })}`
    default:
      return text(limit['kind'])
  }
}

/** A limit of a conflict in words: "fibre at most 5 %", "stock of lot 41, maize: 120 kg". */
export const limitTold = (limit: LimitFacts, words: LimitWords): string => {
  const { t, nameOf } = words
  const nutrient = text(limit['nutrient'])
  const value = limitValue(Number(limit['value'] ?? 0), text(limit['unit']), isNutrient(nutrient) ? nutrient : undefined)
  const ingredient = nameOf(text(limit['ingredientId']))
  switch (limit['kind']) {
    case 'batch':
      return t('limit.batch', { value })
    case 'medicine':
      return t('limit.dose', { ingredient, value })
    case 'stock':
      return limit['lotNumber']
        ? t('limit.stock', { lot: text(limit['lotNumber']), ingredient, value })
        : t('limit.book', { ingredient, value })
    default:
      return sidesTold(limitName(limit, words), limit['side'] === 'max' ? { max: value } : { min: value }, words)
  }
}

/** Limits told once each, as a sentence lists them. */
export const conflictTold = (conflict: MixView['conflict'], words: LimitWords): string =>
  [...new Set(conflict.filter(({ limit }) => limit['kind'] !== 'batch').map(({ limit }) => limitTold(limit, words)))].join(', ')
