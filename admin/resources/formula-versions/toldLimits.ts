import type { NUTRIENTS } from '#core/composition/nutrients'
import { formatNumber, formatPercent, withUnit } from '../../format/numbers'
import { dayUnit, limitFigure, nutrientLimitValue, sidesTold, sureTold, type LimitWords } from './limitWords'
import type { Limits } from './versionForm'

export type ToldLimit = { readonly key: string; readonly sentence: string }
export type ToldSections = { readonly [section in 'nutrients' | 'ingredients' | 'groups' | 'ratios' | 'perDay']: readonly ToldLimit[] }

const share = (value: number | undefined): string | undefined =>
  value === undefined ? undefined : formatPercent(value, String(value).split('.')[1]?.length ?? 0)
const plain = (value: number | undefined): string | undefined => (value === undefined ? undefined : limitFigure(value))

const perDayTold = ({ perDay }: Limits, words: LimitWords): ToldLimit[] => {
  if (!perDay || perDay.limits.length === 0) return []
  const { t } = words
  const { weightKg, temperatureC, gainG, eggMassG } = perDay.birds
  const hen = t('perDay.hen', {
    weight: withUnit(limitFigure(weightKg), 'kg'),
    temperature: withUnit(limitFigure(temperatureC), 'C'),
    gain: withUnit(limitFigure(gainG), 'g'),
    egg: withUnit(limitFigure(eggMassG), 'g'),
  })
  return [
    { key: 'hen', sentence: hen },
    ...perDay.limits.map(({ nutrient, minPerDay, maxPerDay }) => {
      const unit = dayUnit(nutrient)
      const told = (value: number | undefined) => (value === undefined ? undefined : withUnit(formatNumber(value, 2), unit))
      return {
        key: nutrient,
        sentence: sidesTold(t('perDay.limit', { name: t(`nutrient.${nutrient}`) }), { min: told(minPerDay), max: told(maxPerDay) }, words),
      }
    }),
  ]
}

/** Every limit of a set as a sentence, by kind: what is told of a version, and what its changes are told from. */
export const toldLimits = (limits: Limits, words: LimitWords): ToldSections => {
  const { t, nameOf } = words
  const figure = (nutrient: keyof typeof NUTRIENTS, value: number | undefined) =>
    value === undefined ? undefined : nutrientLimitValue(nutrient, value)
  return {
    nutrients: limits.nutrients.map(({ nutrient, min, max, certainty }) => ({
      key: nutrient,
      sentence: `${sidesTold(t(`nutrient.${nutrient}`), { min: figure(nutrient, min), max: figure(nutrient, max) }, words)}${sureTold(certainty, words)}`,
    })),
    ingredients: limits.ingredients.map(({ ingredientId, minPct, maxPct }) => ({
      key: ingredientId,
      sentence: sidesTold(nameOf(ingredientId), { min: share(minPct), max: share(maxPct) }, words),
    })),
    groups: limits.groups.map(({ id, ingredientIds, minPct, maxPct }) => ({
      key: id,
      sentence: sidesTold(ingredientIds.map(nameOf).join(', '), { min: share(minPct), max: share(maxPct) }, words),
    })),
    ratios: limits.ratios.map(({ id, numerator, denominator, min, max }) => ({
      key: id,
      sentence: sidesTold(
        t('limit.ratio', { numerator: t(`nutrient.${numerator}`), denominator: t(`nutrient.${denominator}`) }),
        { min: plain(min), max: plain(max) },
        words,
      ),
    })),
    perDay: perDayTold(limits, words),
  }
}
