import { useState } from 'react'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Field } from '../../ui/Field'

export type Choice = { readonly id: string; readonly name: string }

/** So many names are read at a glance; the search narrows the rest down. */
const SHOWN = 12

/** A searchable list of what is not limited yet; choosing one adds its row. */
export const AddFromList = ({
  label,
  choices,
  onChoose,
}: {
  label: string
  choices: readonly Choice[]
  onChoose: (id: string) => void
}) => {
  const { t } = useStaffWords()
  const [open, setOpen] = useState(false)
  const [typed, setTyped] = useState('')
  const asked = typed.trim().toLowerCase()
  const matching = choices.filter(({ id, name }) => name.toLowerCase().includes(asked) || id.toLowerCase().startsWith(asked))
  const choose = (id: string) => {
    setOpen(false)
    setTyped('')
    onChoose(id)
  }
  if (!open) {
    return (
      <div>
        <Button icon="plus" onPress={() => setOpen(true)}>
          {label}
        </Button>
      </div>
    )
  }
  return (
    <div className="k-choose" role="group" aria-label={label}>
      <Field label={t('limit.choose')} value={typed} onChange={setTyped} autoComplete="off" />
      {matching.length === 0 && <p>{t('limit.noMatch')}</p>}
      <ul className="k-quiet-list">
        {matching.slice(0, SHOWN).map(({ id, name }) => (
          <li key={id}>
            <Button onPress={() => choose(id)}>{name}</Button>
          </li>
        ))}
      </ul>
      <div>
        <Button kind="quiet" onPress={() => setOpen(false)}>
          {t('action.close')}
        </Button>
      </div>
    </div>
  )
}
