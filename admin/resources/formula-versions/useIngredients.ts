import { useMemo } from 'react'
import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { IngredientView } from '#contract/ingredients'
import type { Language } from '../../i18n/language'

export type Ingredient = z.output<typeof IngredientView>

/** More than the book has; the mill gives at most 200 at once. */
const ALL = 200

/** Every ingredient of the book; a name that is not loaded yet is its key made readable. */
export const useIngredients = (language: Language) => {
  const { data } = useGetList<Ingredient>('ingredients', {
    pagination: { page: 1, perPage: ALL },
    sort: { field: 'nameEn', order: 'ASC' },
  })
  return useMemo(() => {
    const nameIn = (row: Ingredient): string => (language === 'en' ? row.nameEn : row.nameSw)
    const names = new Map(data?.map((row) => [row.id, nameIn(row)]))
    const nameOf = (id: string): string => names.get(id) ?? id.replaceAll('_', ' ')
    // sorted here, so that another language needs no other answer of the mill
    return { ingredients: data?.toSorted((a, b) => nameIn(a).localeCompare(nameIn(b), language)) ?? [], nameOf }
  }, [data, language])
}
