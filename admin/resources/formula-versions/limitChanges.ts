import type { NUTRIENTS } from '#core/composition/nutrients'
import { formatPercent } from '../../format/numbers'
import { limitFigure, nutrientLimitValue, sidesTold, type LimitWords } from './limitWords'
import type { Limits } from './versionForm'

type Told = ReadonlyMap<string, string>

const share = (value: number | undefined): string | undefined =>
  value === undefined ? undefined : formatPercent(value, String(value).split('.')[1]?.length ?? 0)

/** Every limit of a set as a sentence, by what it limits. */
const toldLimits = ({ nutrients, ingredients, groups, ratios }: Limits, words: LimitWords): Told => {
  const { t, nameOf } = words
  const figure = (nutrient: keyof typeof NUTRIENTS, value: number | undefined) =>
    value === undefined ? undefined : nutrientLimitValue(nutrient, value)
  const plain = (value: number | undefined) => (value === undefined ? undefined : limitFigure(value))
  return new Map([
    ...nutrients.map(({ nutrient, min, max }): [string, string] => [
      `nutrient ${nutrient}`,
      sidesTold(t(`nutrient.${nutrient}`), { min: figure(nutrient, min), max: figure(nutrient, max) }, words),
    ]),
    ...ingredients.map(({ ingredientId, minPct, maxPct }): [string, string] => [
      `ingredient ${ingredientId}`,
      sidesTold(nameOf(ingredientId), { min: share(minPct), max: share(maxPct) }, words),
    ]),
    ...groups.map(({ id, ingredientIds, minPct, maxPct }): [string, string] => [
      `group ${id}`,
      sidesTold(ingredientIds.map(nameOf).join(', '), { min: share(minPct), max: share(maxPct) }, words),
    ]),
    ...ratios.map(({ id, numerator, denominator, min, max }): [string, string] => [
      `ratio ${id}`,
      sidesTold(
        t('limit.ratio', { numerator: t(`nutrient.${numerator}`), denominator: t(`nutrient.${denominator}`) }),
        { min: plain(min), max: plain(max) },
        words,
      ),
    ]),
  ])
}

/** What another version changes, one sentence each: moved, new, no longer. */
export const limitChanges = (before: Limits, after: Limits, words: LimitWords): string[] => {
  const { t } = words
  const was = toldLimits(before, words)
  const is = toldLimits(after, words)
  const moved = [...is].flatMap(([key, now]) => {
    const old = was.get(key)
    if (old === now) return []
    return [old === undefined ? t('formula.changeAdded', { limit: now }) : t('formula.changeMoved', { before: old, after: now })]
  })
  const gone = [...was].flatMap(([key, old]) => (is.has(key) ? [] : [t('formula.changeRemoved', { limit: old })]))
  return [...moved, ...gone]
}
