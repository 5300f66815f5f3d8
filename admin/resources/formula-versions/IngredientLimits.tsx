import { formatKg, formatPercent } from '../../format/numbers'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { NumberField } from '../../ui/Field'
import { AddFromList } from './AddFromList'
import { LimitHead, LimitInputs } from './LimitInputs'
import type { EditorProps } from './NutrientLimits'
import type { useIngredients } from './useIngredients'
import { addIngredient, changeRow, placeOf, type Trial } from './versionForm'

type Book = ReturnType<typeof useIngredients>
type IngredientProps = EditorProps & {
  readonly book: Book
  readonly trial: Trial
  readonly onTrial: (trial: Trial) => void
}

/** How much of an ingredient the mix has, over all its lots. */
const InMix = ({ ingredientId, mix }: { ingredientId: string; mix: EditorProps['mix'] }) => {
  const amounts = mix?.amounts.filter((amount) => amount.ingredientId === ingredientId) ?? []
  if (mix?.kind !== 'optimal') return null
  const kg = amounts.reduce((sum, amount) => sum + Number(amount.kg), 0)
  const pct = amounts.reduce((sum, amount) => sum + amount.pct, 0)
  return (
    <span className="k-tabular">
      {formatPercent(pct, 1)} <span className="k-caption">{formatKg(kg.toFixed(3))}</span>
    </span>
  )
}

/** A price to try in place of today's; it is not kept. */
const Tried = ({ ingredientId, mix, trial, onTrial, book }: IngredientProps & { ingredientId: string }) => {
  const { t } = useStaffWords()
  const decides =
    mix?.amounts.find((amount) => amount.ingredientId === ingredientId)?.pricePerKg ??
    mix?.notUsed.find((lot) => lot.ingredientId === ingredientId)?.pricePerKg
  const price = trial.prices[ingredientId] ?? ''
  const { [ingredientId]: _old, ...others } = trial.prices
  return (
    <NumberField
      label={t('limit.tryPrice', { name: book.nameOf(ingredientId) })}
      unit={t('limit.perKg')}
      value={price}
      error={price.trim() !== '' && readTyped(price).kind !== 'number' ? t('field.notANumber') : undefined}
      placeholder={decides === undefined ? '' : Number(decides).toFixed(2)}
      onChange={(typed) => onTrial({ ...trial, prices: typed.trim() === '' ? others : { ...others, [ingredientId]: typed } })}
    />
  )
}

/** The switch that leaves an ingredient out for now; it is not kept. */
const LeftOut = ({ ingredientId, trial, onTrial, book }: IngredientProps & { ingredientId: string }) => {
  const { t } = useStaffWords()
  const out = trial.without.includes(ingredientId)
  const without = out ? trial.without.filter((id) => id !== ingredientId) : [...trial.without, ingredientId]
  return (
    <Button
      kind="quiet"
      pressed={out}
      label={t(out ? 'limit.takeBack' : 'limit.leaveOut', { name: book.nameOf(ingredientId) })}
      onPress={() => onTrial({ ...trial, without })}
    >
      {t(out ? 'limit.leftOut' : 'limit.without')}
    </Button>
  )
}

/** Limits of single ingredients, with what the mix takes of each and what may be tried. */
export const IngredientLimits = (props: IngredientProps) => {
  const { form, errorAt, onChange, mix, book } = props
  const { t } = useStaffWords()
  const limited = new Set(form.ingredients.filter(({ removed }) => !removed).map(({ ingredientId }) => ingredientId))
  return (
    <Card title={t('limit.ingredients')}>
      {form.ingredients.length === 0 && <p>{t('limit.empty.ingredients')}</p>}
      <div>
        <LimitHead third={t('limit.tryColumn')} now={t('limit.nowColumn')} />
        {form.ingredients.map((row, index) => (
          <LimitInputs
            key={row.ingredientId}
            name={book.nameOf(row.ingredientId)}
            unit="%"
            source={<LeftOut {...props} ingredientId={row.ingredientId} />}
            row={row}
            ids={[
              `limits.ingredients.${placeOf(form.ingredients, index)}.minPct`,
              `limits.ingredients.${placeOf(form.ingredients, index)}.maxPct`,
            ]}
            errorAt={errorAt}
            onChange={(change) => onChange(changeRow(form, 'ingredients', index, change))}
            third={<Tried {...props} ingredientId={row.ingredientId} />}
            now={<InMix ingredientId={row.ingredientId} mix={mix} />}
          />
        ))}
      </div>
      <AddFromList
        label={t('limit.addIngredient')}
        choices={book.ingredients.filter(({ id }) => !limited.has(id)).map(({ id }) => ({ id, name: book.nameOf(id) }))}
        onChoose={(id) => onChange(addIngredient(form, id))}
      />
    </Card>
  )
}
