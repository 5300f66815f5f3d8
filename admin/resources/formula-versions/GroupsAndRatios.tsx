import { useState } from 'react'
import { NUTRIENT_IDS } from '#core/composition/nutrients'
import { useStaffWords } from '../../i18n/words'
import { useWide } from '../../shell/useWide'
import { Button } from '../../ui/Button'
import { SelectField } from '../../ui/Field'
import { AddFromList } from './AddFromList'
import { LimitHead, LimitInputs } from './LimitInputs'
import { isNutrient } from './limitWords'
import type { Book } from './IngredientLimits'
import type { EditorProps } from './NutrientLimits'
import { addGroup, addRatio, changeRow, placeOf } from './versionForm'

/** A new ratio: two nutrients, each chosen by name. */
const NewRatio = ({ onAdd }: { onAdd: (numerator: string, denominator: string) => void }) => {
  const { t } = useStaffWords()
  const [open, setOpen] = useState(false)
  const [numerator, setNumerator] = useState('Ca')
  const [denominator, setDenominator] = useState('avP')
  const choices = NUTRIENT_IDS.map((id) => ({ value: id, label: t(`nutrient.${id}`) }))
  if (!open)
    return (
      <div>
        <Button icon="plus" onPress={() => setOpen(true)}>
          {t('limit.addRatio')}
        </Button>
      </div>
    )
  return (
    <div className="k-choose" role="group" aria-label={t('limit.addRatio')}>
      <SelectField label={t('limit.ratioOf')} value={numerator} onChange={setNumerator} choices={choices} />
      <SelectField
        label={t('limit.ratioTo')}
        value={denominator}
        onChange={setDenominator}
        choices={choices}
        error={numerator === denominator ? t('limit.ratioSame') : undefined}
      />
      <div className="k-row">
        <Button
          onPress={() => {
            if (numerator === denominator) return
            onAdd(numerator, denominator)
            setOpen(false)
          }}
        >
          {t('limit.addThis')}
        </Button>
        <Button kind="quiet" onPress={() => setOpen(false)}>
          {t('action.close')}
        </Button>
      </div>
    </div>
  )
}

/** A new group: its members one after the other; it stands once it has two. */
const NewGroup = ({ book, onAdd }: { book: Book; onAdd: (ingredientIds: readonly string[]) => void }) => {
  const { t } = useStaffWords()
  const [members, setMembers] = useState<readonly string[]>([])
  return (
    <div className="k-stack">
      {members.length > 0 && <p role="status">{members.map(book.nameOf).join(', ')}</p>}
      <AddFromList
        label={t(members.length === 0 ? 'limit.addGroup' : 'limit.addMember')}
        choices={book.ingredients.filter(({ id }) => !members.includes(id)).map(({ id }) => ({ id, name: book.nameOf(id) }))}
        onChoose={(id) => setMembers([...members, id])}
      />
      {members.length > 0 && (
        <div className="k-row">
          {members.length > 1 && (
            <Button
              onPress={() => {
                onAdd(members)
                setMembers([])
              }}
            >
              {t('limit.groupDone')}
            </Button>
          )}
          <Button kind="quiet" onPress={() => setMembers([])}>
            {t('action.close')}
          </Button>
        </div>
      )}
    </div>
  )
}

export const Groups = ({ form, errorAt, onChange, book }: EditorProps & { book: Book }) => {
  const { t } = useStaffWords()
  const wide = useWide()
  return (
    <>
      {form.groups.length === 0 && <p>{t('limit.empty.groups')}</p>}
      {form.groups.length > 0 && <LimitHead />}
      {form.groups.map((row, index) => (
        <LimitInputs
          key={row.id}
          name={row.ingredientIds.map(book.nameOf).join(', ')}
          unit="%"
          wide={wide}
          row={row}
          ids={[`limits.groups.${placeOf(form.groups, index)}.minPct`, `limits.groups.${placeOf(form.groups, index)}.maxPct`]}
          errors={[
            errorAt(`limits.groups.${placeOf(form.groups, index)}.minPct`),
            errorAt(`limits.groups.${placeOf(form.groups, index)}.maxPct`),
          ]}
          onChange={(change) => onChange((current) => changeRow(current, 'groups', index, change))}
        />
      ))}
      <NewGroup book={book} onAdd={(members) => onChange((current) => addGroup(current, members))} />
    </>
  )
}

export const Ratios = ({ form, errorAt, onChange }: EditorProps) => {
  const { t } = useStaffWords()
  const wide = useWide()
  return (
    <>
      {form.ratios.length === 0 && <p>{t('limit.empty.ratios')}</p>}
      {form.ratios.length > 0 && <LimitHead />}
      {form.ratios.map((row, index) => (
        <LimitInputs
          key={row.id}
          name={t('limit.ratio', { numerator: t(`nutrient.${row.numerator}`), denominator: t(`nutrient.${row.denominator}`) })}
          unit=""
          wide={wide}
          row={row}
          ids={[`limits.ratios.${placeOf(form.ratios, index)}.min`, `limits.ratios.${placeOf(form.ratios, index)}.max`]}
          errors={[
            errorAt(`limits.ratios.${placeOf(form.ratios, index)}.min`),
            errorAt(`limits.ratios.${placeOf(form.ratios, index)}.max`),
          ]}
          onChange={(change) => onChange((current) => changeRow(current, 'ratios', index, change))}
        />
      ))}
      <NewRatio
        onAdd={(numerator, denominator) =>
          isNutrient(numerator) && isNutrient(denominator) && onChange((current) => addRatio(current, numerator, denominator))
        }
      />
    </>
  )
}
