import { useCallback } from 'react'
import { useListContext } from 'react-admin'

export type Filters = Readonly<Record<string, string | undefined>>

/** All filters but one. */
export const withoutFilter = (filters: Filters, name: string): Filters =>
  Object.fromEntries(Object.entries(filters).filter(([other]) => other !== name))

/** The filters of the list around, as words; react-admin itself keeps them untyped. */
export const useFilters = () => {
  const { setFilters, ...list } = useListContext()
  const show = useCallback((next: Filters) => setFilters(next, {}, false), [setFilters])
  return { filters: list.filterValues as Filters, show }
}
