import type { z } from 'zod'
import type { MixView } from '#contract/formulas'
import type { AlternativesView } from '#contract/solving'
import { formatPrice } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import { ingredientName } from './mixFigures'
import type { LimitWords } from './limitWords'

export type Alternatives = z.output<typeof AlternativesView>
type Alternative = Alternatives['mixes'][number]
type Told = { readonly words: LimitWords; readonly language: Language; readonly currency: string }

/** Under half a thousandth of a batch no two mixes differ to anybody. */
const WORTH_SAYING = 0.0005

type Part = { readonly name: string; readonly kg: number }
const partsOf = (mix: MixView, language: Language): ReadonlyMap<string, Part> => {
  const parts = new Map<string, Part>()
  for (const row of mix.amounts) {
    const before = parts.get(row.ingredientId)?.kg ?? 0
    parts.set(row.ingredientId, { name: ingredientName(row, language), kg: before + Number(row.kg) })
  }
  return parts
}

/** What changes from one mix to another, by ingredient, the most kilograms first. */
export const changesTold = (from: MixView, to: MixView, { words: { t }, language }: Told): string[] => {
  const was = partsOf(from, language)
  const is = partsOf(to, language)
  const least = Number(to.batchKg) * WORTH_SAYING
  return [...new Set([...was.keys(), ...is.keys()])]
    .map((id) => {
      const before = was.get(id)?.kg ?? 0
      const after = is.get(id)?.kg ?? 0
      return { name: is.get(id)?.name ?? was.get(id)?.name ?? id, before, after, moved: after - before }
    })
    .filter(({ moved }) => Math.abs(moved) >= least)
    .sort((a, b) => Math.abs(b.moved) - Math.abs(a.moved))
    .map(({ name, before, after, moved }) => {
      const key = before === 0 ? 'mixNew' : after === 0 ? 'mixGone' : moved > 0 ? 'mixMore' : 'mixLess'
      return t(`explain.${key}`, { name, kg: formatKg(Math.abs(moved).toFixed(3)) })
    })
}

const titleOf = ({ kind, ingredientId, atMost }: Alternative, { t, nameOf }: LimitWords): string => {
  switch (kind) {
    case 'cheapest':
      return t('explain.mixCheapest')
    case 'without':
      return t('explain.mixWithout', { name: nameOf(ingredientId ?? '') })
    case 'at-most':
      return t('explain.mixAtMost', { smart_count: atMost ?? 0 })
    case 'most-different':
      return t('explain.mixDifferent')
    default:
      return kind satisfies never
  }
}

const differenceTold = (mix: MixView, cheapest: MixView, { words: { t }, currency }: Told): string => {
  const difference = Number(mix.costPerTonne ?? 0) - Number(cheapest.costPerTonne ?? 0)
  if (Math.abs(difference) < 0.5) return t('explain.mixSame')
  return t(difference > 0 ? 'explain.mixDearer' : 'explain.mixCheaper', { money: formatPrice(Math.abs(difference).toFixed(2), currency) })
}

export type OtherMix = {
  readonly key: string
  readonly title: string
  /** Why there is none of its kind; absent where there is one. */
  readonly none?: string
  readonly cost?: string
  readonly difference?: string
  readonly moved?: string | undefined
  readonly changes: readonly string[]
  readonly proven?: string
}

/** Each mix in words, told against the cheapest. */
export const otherMixes = ({ mixes }: Alternatives, told: Told): OtherMix[] => {
  const { t } = told.words
  const cheapest = mixes.find(({ kind }) => kind === 'cheapest')?.mix
  return mixes.map((one, index) => {
    const { mix, kind, proven, movedPct } = one
    const head = { key: `${index} ${kind}`, title: titleOf(one, told.words) }
    if (mix.kind !== 'optimal')
      return { ...head, none: t(mix.kind === 'infeasible' ? 'explain.mixNone' : 'explain.mixFailed'), changes: [] }
    const shown = {
      ...head,
      cost: t('explain.mixTonne', { money: formatPrice(mix.costPerTonne ?? '0', told.currency) }),
      proven: t(!proven ? 'explain.mixNotProven' : kind === 'most-different' ? 'explain.mixProvenDifferent' : 'explain.mixProven'),
    }
    if (kind === 'cheapest' || !cheapest) return { ...shown, changes: [] }
    const changes = changesTold(cheapest, mix, told)
    return {
      ...shown,
      difference: differenceTold(mix, cheapest, told),
      moved: movedPct === null ? undefined : t('explain.mixMoved', { share: formatPercent(movedPct) }),
      changes: changes.length > 0 ? changes : [t('explain.mixUnchanged')],
    }
  })
}
