import { useListContext } from 'react-admin'
import { SelectField } from '../ui/Field'

type ListSelectProps = {
  readonly name: string
  readonly label: string
  readonly choices: readonly { readonly value: string; readonly label: string }[]
}

/** A filter of a list with too many choices to stand side by side; kept in the address like the others. */
export const ListSelect = ({ name, label, choices }: ListSelectProps) => {
  const { filterValues, setFilters } = useListContext()
  const change = (value: string) => {
    const { [name]: _before, ...rest } = filterValues
    setFilters(value === '' ? rest : { ...rest, [name]: value }, {}, false)
  }
  return <SelectField label={label} value={String(filterValues[name] ?? '')} choices={choices} onChange={change} />
}
