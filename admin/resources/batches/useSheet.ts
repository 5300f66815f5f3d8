import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { BatchSheetView } from '#contract/production'
import type { Language } from '../../i18n/language'
import type { MillDataProvider } from '../../providers/dataProvider'

/** The printed page of a load as the mill makes it, in one language. */
export const useSheet = (batchId: string, language: Language | undefined) => {
  const mill = useDataProvider<MillDataProvider>()
  const { data, error, refetch } = useQuery({
    queryKey: ['batch-sheet', batchId, language ?? 'mill'],
    queryFn: () => mill.act<BatchSheetView>('GET', `/batches/${batchId}/sheet${language ? `?language=${language}` : ''}`),
    enabled: batchId !== '',
  })
  return { sheet: data, error, refetch }
}
