import { useState } from 'react'
import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { IngredientView } from '#contract/ingredients'
import { useStaffWords } from '../../i18n/words'
import { asProblem } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { Field } from '../../ui/Field'
import { Loading } from '../../ui/Waiting'
import { findIngredients } from '../ingredients/findWords'
import { useIngredientName, WithPicture } from '../ingredients/names'

export type IngredientRow = z.output<typeof IngredientView>

/** The whole book is under 200 ingredients, so it is looked through here: quick, and the same without a network. */
export const useIngredients = () =>
  useGetList<IngredientRow>('ingredients', { pagination: { page: 1, perPage: 200 }, sort: { field: 'nameEn', order: 'ASC' }, filter: {} })

const SHOWN = 6

type PickerProps = {
  /** Of the field to look with, so that a list of errors can lead here. */
  readonly id: string
  /** What is asked for, where it is not what came. */
  readonly label?: string
  readonly value: string
  readonly onChange: (ingredient: IngredientRow | undefined) => void
  readonly error?: string | undefined
}

/** What came, by picture and name; found in both languages and by the other words people use. Those in store stand first. */
export const IngredientPicker = ({ id: fieldId, label, value, onChange, error }: PickerProps) => {
  const { t } = useStaffWords()
  const asked = label ?? t('receive.what')
  const nameOf = useIngredientName()
  const [typed, setTyped] = useState('')
  const { data = [], isPending, error: failed, refetch } = useIngredients()
  const chosen = data.find(({ id }) => id === value)
  if (failed) return <FailureBar problem={asProblem(failed)} doing="load" onTryAgain={() => void refetch()} />
  if (isPending) return <Loading rows={2} />
  if (chosen)
    return (
      <div className="k-field">
        <span className="k-label">{asked}</span>
        <div className="k-picked">
          <WithPicture pictogram={chosen.pictogram}>{nameOf(chosen)}</WithPicture>
          <Button onPress={() => onChange(undefined)}>{t('receive.change')}</Button>
        </div>
      </div>
    )
  const found = [...findIngredients(typed, data)].sort((a, b) => Number(b.onHandKg) - Number(a.onHandKg))
  return (
    <div className="k-stack">
      <Field
        id={fieldId}
        label={asked}
        hint={`${t('receive.find')}, ${t('receive.findHint')}`}
        type="search"
        value={typed}
        onChange={setTyped}
        autoComplete="off"
        error={error}
      />
      <div className="k-pick-list">
        {found.slice(0, SHOWN).map((ingredient) => (
          <button key={ingredient.id} type="button" className="k-pick" onClick={() => onChange(ingredient)}>
            <WithPicture pictogram={ingredient.pictogram}>{nameOf(ingredient)}</WithPicture>
          </button>
        ))}
      </div>
      {found.length > SHOWN && <p className="k-caption">{t('receive.moreFound', { smart_count: found.length - SHOWN })}</p>}
      {found.length === 0 && <p>{t('receive.nothingFound')}</p>}
    </div>
  )
}
