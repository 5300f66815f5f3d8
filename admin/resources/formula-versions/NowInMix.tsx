import { createContext, useContext } from 'react'
import type { MixView } from '#contract/formulas'
import { NUTRIENTS, type NutrientId } from '#core/composition/nutrients'
import { formatKg, formatNutrient, formatPercent, withUnit } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'

/** The mix of now beside the limits. Told through a context, so that a new answer draws these cells and not the forty rows they stand in. */
export const MixOfNow = createContext<MixView | undefined>(undefined)

/** A dot on a notch, as on the rails: what stands at its limit. */
const AtEdge = () => {
  const { t } = useStaffWords()
  return (
    <>
      <svg className="k-edge-mark" width={12} height={16} viewBox="0 0 12 16" aria-hidden>
        <path d="M6 1V15" />
        <circle cx="6" cy="8" r="3.5" />
      </svg>
      <span className="k-hidden">{t('limit.atEdge')}</span>
    </>
  )
}

/** What the mix has of a nutrient, and whether it stands at the limit. */
export const NutrientNow = ({ nutrient }: { nutrient: NutrientId }) => {
  const found = useContext(MixOfNow)?.nutrients.find((row) => row.nutrient === nutrient)
  if (!found) return null
  const { unit } = NUTRIENTS[nutrient]
  const figure = formatNutrient(nutrient, found.value)
  const edge = found.state === 'at-min' || found.state === 'at-max'
  return (
    <span className={edge ? 'k-at-edge k-tabular' : 'k-tabular'}>
      {unit.length > 2 ? `${figure} ${unit}` : withUnit(figure, unit)}
      {edge && <AtEdge />}
    </span>
  )
}

/** How much of an ingredient the mix has, over all its lots. */
export const IngredientNow = ({ ingredientId }: { ingredientId: string }) => {
  const mix = useContext(MixOfNow)
  if (mix?.kind !== 'optimal') return null
  const amounts = mix.amounts.filter((amount) => amount.ingredientId === ingredientId)
  const kg = amounts.reduce((sum, amount) => sum + Number(amount.kg), 0)
  const pct = amounts.reduce((sum, amount) => sum + amount.pct, 0)
  return (
    <span className="k-tabular">
      {formatPercent(pct, 1)} {kg > 0 && <span className="k-caption k-limit-kg">{formatKg(kg.toFixed(3))}</span>}
    </span>
  )
}
