import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { MillView } from '#contract/mill'
import { DEFAULT_CURRENCY } from '../format/money'
import type { MillDataProvider } from './dataProvider'

/** What everyone may know of the mill; asked for once a page load. */
export const useMill = (): MillView | undefined => {
  const dataProvider = useDataProvider<MillDataProvider>()
  return useQuery({
    queryKey: ['mill'],
    queryFn: () => dataProvider.act<MillView>('GET', '/mill'),
    staleTime: Number.POSITIVE_INFINITY,
  }).data
}

export const useCurrency = (): string => useMill()?.currency ?? DEFAULT_CURRENCY
