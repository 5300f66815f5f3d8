import { useState } from 'react'
import { formatNutrient, withUnit } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { KnownBy } from '../../ui/KnownBy'
import { lotKnownValue, type LotValue } from './knownValue'
import { FIRST_NUTRIENTS, isKnownNutrient } from './nutrientIds'
import { stepWords } from './stepWords'

const bookWords = ({ nutrient, bookValue, unit }: LotValue, unknown: string): string =>
  bookValue === null || !isKnownNutrient(nutrient) ? unknown : withUnit(formatNutrient(nutrient, bookValue), unit)

const ValueRow = ({ value }: { value: LotValue }) => {
  const { t, language } = useStaffWords()
  return (
    <div className="k-value-row">
      <span className="k-strong">{t(`nutrient.${value.nutrient}` as StaffKey)}</span>
      <KnownBy value={lotKnownValue(value, language)} />
      <span className="k-tabular k-caption">
        {t('lots.bookValue')} {bookWords(value, t('known.unknown'))}
      </span>
      <details className="k-fold">
        <summary>{t('lots.whence')}</summary>
        <ol className="k-steps">
          {value.steps.map((step, index) => (
            <li key={index}>{stepWords(step, t, language)}</li>
          ))}
        </ol>
      </details>
    </div>
  )
}

/** What is believed to be in the lot: each value, how it is known, the book beside it, and the steps it came by. */
export const LotValues = ({ composition }: { composition: readonly LotValue[] }) => {
  const { t } = useStaffWords()
  const [all, setAll] = useState(false)
  const first = FIRST_NUTRIENTS.flatMap((id) => composition.find(({ nutrient }) => nutrient === id) ?? [])
  return (
    <Card title={t('lots.composition')}>
      <p className="k-caption">{t('known.spreadNote')}</p>
      <div>
        {(all ? composition : first).map((value) => (
          <ValueRow key={value.nutrient} value={value} />
        ))}
      </div>
      <div>
        <Button onPress={() => setAll(!all)}>{t(all ? 'action.showFewer' : 'action.showAll')}</Button>
      </div>
    </Card>
  )
}
