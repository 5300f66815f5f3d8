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
    sort: { field: language === 'en' ? 'nameEn' : 'nameSw', order: 'ASC' },
  })
  return useMemo(() => {
    const names = new Map(data?.map((row) => [row.id, language === 'en' ? row.nameEn : row.nameSw]))
    const nameOf = (id: string): string => names.get(id) ?? id.replaceAll('_', ' ')
    return { ingredients: data ?? [], nameOf }
  }, [data, language])
}
