import { memo } from 'react'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { useWide } from '../../shell/useWide'
import { Card } from '../../ui/Card'
import { AddFromList } from './AddFromList'
import { LimitHead, LimitInputs } from './LimitInputs'
import { IngredientNow } from './NowInMix'
import type { ChangeForm, EditorProps } from './NutrientLimits'
import { PricesToTry } from './PricesToTry'
import type { useIngredients } from './useIngredients'
import { addIngredient, changeRow, placeOf, type IngredientRow, type Trial } from './versionForm'

export type Book = ReturnType<typeof useIngredients>
export type ChangeTrial = (change: (trial: Trial) => Trial) => void
type IngredientProps = EditorProps & {
  readonly book: Book
  readonly trial: Trial
  readonly onTrial: ChangeTrial
}

type RowProps = {
  readonly row: IngredientRow
  readonly name: string
  readonly index: number
  /** Under which the mill names it. */
  readonly place: number
  /** Left out for now, which is not kept. */
  readonly out: boolean
  /** There is a mix, of which it says what it has. */
  readonly mixed: boolean
  readonly wide: boolean
  readonly minError: string | undefined
  readonly maxError: string | undefined
  readonly onChange: ChangeForm
  readonly onTrial: ChangeTrial
}

const turned = (ids: readonly string[], id: string): string[] => (ids.includes(id) ? ids.filter((one) => one !== id) : [...ids, id])

/** Drawn again only when something of its own changes. */
const Row = memo(function Row({ row, name, index, place, out, mixed, wide, minError, maxError, onChange, onTrial }: RowProps) {
  const { t } = useStaffWords()
  return (
    <LimitInputs
      name={name}
      unit="%"
      row={row}
      ids={[`limits.ingredients.${place}.minPct`, `limits.ingredients.${place}.maxPct`]}
      errors={[minError, maxError]}
      wide={wide}
      onChange={(change) => onChange((form) => changeRow(form, 'ingredients', index, change))}
      third={
        <Button
          kind="quiet"
          pressed={out}
          label={t(out ? 'limit.takeBack' : 'limit.leaveOut', { name })}
          onPress={() => onTrial((trial) => ({ ...trial, without: turned(trial.without, row.ingredientId) }))}
        >
          {t(out ? 'limit.leftOut' : 'limit.without')}
        </Button>
      }
      now={mixed ? <IngredientNow ingredientId={row.ingredientId} /> : undefined}
    />
  )
})

/** Limits of single ingredients, with what the mix takes of each and what may be tried. */
export const IngredientLimits = ({ form, errorAt, onChange, mix, book, trial, onTrial }: IngredientProps) => {
  const { t } = useStaffWords()
  const wide = useWide()
  const limited = new Set(form.ingredients.filter(({ removed }) => !removed).map(({ ingredientId }) => ingredientId))
  return (
    <Card title={t('limit.ingredients')}>
      {form.ingredients.length === 0 && <p>{t('limit.empty.ingredients')}</p>}
      <div className="k-limits-ingredients">
        <LimitHead now={t('limit.nowColumn')} />
        {form.ingredients.map((row, index) => {
          const place = placeOf(form.ingredients, index)
          return (
            <Row
              key={row.ingredientId}
              row={row}
              name={book.nameOf(row.ingredientId)}
              index={index}
              place={place}
              out={trial.without.includes(row.ingredientId)}
              mixed={mix?.kind === 'optimal'}
              minError={errorAt(`limits.ingredients.${place}.minPct`)}
              maxError={errorAt(`limits.ingredients.${place}.maxPct`)}
              wide={wide}
              onChange={onChange}
              onTrial={onTrial}
            />
          )
        })}
      </div>
      <AddFromList
        label={t('limit.addIngredient')}
        choices={book.ingredients.filter(({ id }) => !limited.has(id)).map(({ id }) => ({ id, name: book.nameOf(id) }))}
        onChoose={(id) => onChange((current) => addIngredient(current, id))}
      />
      <PricesToTry limited={[...limited]} mix={mix} trial={trial} onTrial={onTrial} book={book} />
    </Card>
  )
}
