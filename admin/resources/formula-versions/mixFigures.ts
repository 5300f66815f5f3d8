import type { MixView } from '#contract/formulas'
import { NUTRIENTS, type NutrientId } from '#core/composition/nutrients'
import { zOf } from '#core/formulation/normal'
import { formatPrice } from '../../format/money'
import { formatNutrient, formatPercent } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'
import type { LimitCost } from '../../ui/pictures/LimitCosts'
import type { MixPart } from '../../ui/pictures/MixBars'
import type { NutrientRail } from '../../ui/pictures/NutrientRails'
import type { KnownValue } from '../../ui/KnownBy'
import { isNutrient, limitName, limitValue, nutrientLimitValue, sureTold, type LimitWords } from './limitWords'

type Named = { readonly ingredientNameEn: string; readonly ingredientNameSw: string }
type Nutrient = MixView['nutrients'][number]

type KnownNutrient = Nutrient & { readonly nutrient: NutrientId }
const known = (row: Nutrient): row is KnownNutrient => isNutrient(row.nutrient)

export const ingredientName = (row: Named, language: Language): string => (language === 'en' ? row.ingredientNameEn : row.ingredientNameSw)

/** Lots of one ingredient stand together; a book lot has no number. */
export const mixParts = (mix: MixView, language: Language): MixPart[] => {
  const groups = new Map<string, MixView['amounts']>()
  for (const amount of mix.amounts) groups.set(amount.ingredientId, [...(groups.get(amount.ingredientId) ?? []), amount])
  return [...groups].flatMap(([key, amounts]) => {
    const [first] = amounts
    if (!first) return []
    const sum = (figure: (amount: MixView['amounts'][number]) => number): number => amounts.reduce((total, row) => total + figure(row), 0)
    return [
      {
        key,
        name: ingredientName(first, language),
        kg: sum((row) => Number(row.kg)).toFixed(3),
        sharePct: sum((row) => row.pct),
        lots: amounts.map((row) => ({ code: row.lotNumber === 0 ? '' : String(row.lotNumber), kg: row.kg })),
        cost: formatPrice(sum((row) => Number(row.cost)).toFixed(2)),
      },
    ]
  })
}

/** So many names are taken in at once. */
const NAMED = 3
/** "White maize, Maize bran and Soya cake are 81 % of the mix", with the share of the largest parts. */
export const largestTold = (parts: readonly MixPart[], t: Translate<StaffKey>): string => {
  const largest = [...parts].sort((a, b) => b.sharePct - a.sharePct).slice(0, NAMED)
  const share = largest.reduce((sum, { sharePct }) => sum + sharePct, 0)
  return t('mixture.largest', { names: largest.map(({ name }) => name).join(', '), share: formatPercent(share, 0) })
}

/** Which nutrients are held more surely than on average, and how: "protein 19 in 20". */
export const sureNutrients = (mix: Pick<MixView, 'nutrients'>, t: Translate<StaffKey>): string[] =>
  mix.nutrients.filter(known).flatMap(({ nutrient, certainty }) => {
    const sure = sureTold(certainty?.asked, { t })
    return sure === '' ? [] : [`${t(`nutrient.${nutrient}`)}${sure}`]
  })

/** Under this share a value is not worth saying that it rests on memory. */
const WORTH_SAYING = 0.005

const knownValue = (row: Nutrient, nutrient: NutrientId): KnownValue => ({
  knownBy: row.knownBy,
  figure: row.knownBy === 'unknown' ? undefined : formatNutrient(nutrient, row.value),
  unit: NUTRIENTS[nutrient].unit,
})

export const weakShare = ({ weakShare: share }: Nutrient): string | undefined =>
  share > WORTH_SAYING ? formatPercent(share * 100, 0) : undefined

const railState = (row: Nutrient): NutrientRail['state'] => (row.state === 'at-min' || row.state === 'at-max' ? 'at-limit' : 'inside')

/** How far the mix may lie from its mean, as far as the certainty asked for reaches; in every twentieth time the words speak. */
const sureRange = ({ certainty, sd }: Nutrient): Pick<NutrientRail, 'halfRange' | 'timesIn20'> =>
  certainty === null
    ? {}
    : {
        timesIn20: Number((certainty.asked * 20).toPrecision(3)),
        ...(sd === null ? {} : { halfRange: zOf(certainty.asked) * sd }),
      }

/** One rail for each limited nutrient. */
export const nutrientRails = (mix: MixView, { t }: LimitWords): NutrientRail[] =>
  mix.nutrients.filter(known).flatMap((row) =>
    row.min === null && row.max === null
      ? []
      : [
          {
            key: row.nutrient,
            name: t(`nutrient.${row.nutrient}`),
            mean: row.value,
            value: knownValue(row, row.nutrient),
            ...(row.min === null ? {} : { min: row.min, minText: nutrientLimitValue(row.nutrient, row.min) }),
            ...(row.max === null ? {} : { max: row.max, maxText: nutrientLimitValue(row.nutrient, row.max) }),
            ...sureRange(row),
            state: railState(row),
            weak: weakShare(row),
          },
        ],
  )

export const unlimitedNutrients = (mix: MixView, { t }: LimitWords): { key: string; name: string; value: KnownValue }[] =>
  mix.nutrients
    .filter(known)
    .filter((row) => row.min === null && row.max === null)
    .map((row) => ({ key: row.nutrient, name: t(`nutrient.${row.nutrient}`), value: knownValue(row, row.nutrient) }))

/** What one step of each costly limit would save, dearest first. */
export const costsOfLimits = (mix: MixView, words: LimitWords): LimitCost[] =>
  mix.limitCosts
    .filter(({ costPerTonneForStep }) => costPerTonneForStep >= 0.5)
    .map(({ row, limit, from, to, unit, costPerTonneForStep }) => {
      const id = String(limit['nutrient'] ?? '')
      const nutrient = isNutrient(id) ? id : undefined
      return {
        key: row,
        name: limitName(limit, words),
        from: limitValue(from, unit, nutrient),
        to: limitValue(to, unit, nutrient),
        saving: costPerTonneForStep,
        savingText: formatPrice(costPerTonneForStep),
      }
    })
    .sort((a, b) => b.saving - a.saving)

export type LeftOut = {
  readonly key: string
  readonly lotNumber: number
  readonly ingredientId: string
  readonly reason: string
  readonly nutrients: string[]
  readonly finding: MixView['leftOut'][number]['finding']
}

/** A lot is told once for each reason, with all nutrients that the reason is about. */
export const leftOutLots = (mix: MixView): LeftOut[] => {
  const found = new Map<string, LeftOut>()
  for (const { lotId, nutrient, ...row } of mix.leftOut) {
    const key = `${lotId} ${row.reason}`
    const before = found.get(key)
    if (before) before.nutrients.push(nutrient)
    else found.set(key, { ...row, key, nutrients: [nutrient] })
  }
  return [...found.values()].sort((a, b) => a.lotNumber - b.lotNumber)
}
