import { useState } from 'react'
import type { z } from 'zod'
import type { NutrientValueView } from '#contract/ingredients'
import { formatNutrient, formatNumber, nutrientPlaces } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { KnownBy, type KnownValue } from '../../ui/KnownBy'
import { FIRST_NUTRIENTS, isKnownNutrient } from '../lots/nutrientIds'

type BookValue = z.output<typeof NutrientValueView>

const knownOf = ({ nutrient, unit, value, sd, knownBy }: BookValue): KnownValue => {
  if (value === null || !isKnownNutrient(nutrient)) return { knownBy: 'unknown', unit }
  const spread = sd === null ? undefined : formatNumber(1.96 * sd, nutrientPlaces(nutrient))
  return { knownBy, unit, figure: formatNutrient(nutrient, value), spread: spread && /[1-9]/.test(spread) ? spread : undefined }
}

/** The book of one ingredient: each value, how it is known, and the source it was taken from. */
export const BookValues = ({ values }: { values: readonly BookValue[] }) => {
  const { t } = useStaffWords()
  const [all, setAll] = useState(false)
  const first = FIRST_NUTRIENTS.flatMap((id) => values.find(({ nutrient }) => nutrient === id) ?? [])
  return (
    <Card title={t('ingredients.book')}>
      <p className="k-caption">
        {t('ingredients.bookLead')} {t('known.spreadNote')}
      </p>
      <div>
        {(all ? values : first).map((value) => (
          <div key={value.nutrient} className="k-value-row k-book-row">
            <span className="k-strong">{t(`nutrient.${value.nutrient}` as StaffKey)}</span>
            <KnownBy value={knownOf(value)} />
            <span className="k-caption" lang="en">
              {[value.source, value.note].filter(Boolean).join('; ')}
            </span>
          </div>
        ))}
      </div>
      <div>
        <Button onPress={() => setAll(!all)}>{t(all ? 'action.showFewer' : 'action.showAll')}</Button>
      </div>
    </Card>
  )
}
