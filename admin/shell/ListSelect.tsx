import { useFilters, withoutFilter } from './useFilters'
import { SelectField } from '../ui/Field'

type ListSelectProps = {
  readonly name: string
  readonly label: string
  readonly choices: readonly { readonly value: string; readonly label: string }[]
}

/** A filter of a list with too many choices to stand side by side; kept in the address like the others. */
export const ListSelect = ({ name, label, choices }: ListSelectProps) => {
  const { filters, show } = useFilters()
  const change = (value: string) => show(value === '' ? withoutFilter(filters, name) : { ...withoutFilter(filters, name), [name]: value })
  return <SelectField label={label} value={filters[name] ?? ''} choices={choices} onChange={change} />
}
