import { useQueries } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { MixView } from '#contract/formulas'
import type { MillDataProvider } from '../../providers/dataProvider'
import type { Version } from '../../resources/formula-versions/versionForm'
import type { Home } from './useHome'

type FormulaLine = Home['formulas'][number]
export type FormulaAnswer = { readonly formula: FormulaLine; readonly mix: MixView | undefined; readonly failed: boolean }

/** A tonne, as costs are spoken of. */
const TONNE_KG = '1000'
const FRESH_MS = 5 * 60_000

/** Each approved formula worked out for a tonne of the lots released now. */
export const useFormulaAnswers = (formulas: readonly FormulaLine[]): readonly FormulaAnswer[] => {
  const mill = useDataProvider<MillDataProvider>()
  const solve = async (id: string): Promise<MixView> => {
    const { stage, limits, medication } = await mill.act<Version>('GET', `/formula-versions/${id}`)
    return mill.act<MixView>('POST', '/solve', { stage, limits, medication, batchKg: TONNE_KG, lots: 'released' })
  }
  const answers = useQueries({
    queries: formulas.map(({ id }) => ({ queryKey: ['formula-today', id], queryFn: () => solve(id), staleTime: FRESH_MS, retry: false })),
  })
  return formulas.map((formula, index) => ({ formula, mix: answers[index]?.data, failed: answers[index]?.isError ?? false }))
}
