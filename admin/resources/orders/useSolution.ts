import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { MixView } from '#contract/formulas'
import type { MillDataProvider } from '../../providers/dataProvider'

/** The mix that an order, or what of it nobody began, would get now. */
export const useSolution = (id: string) => {
  const mill = useDataProvider<MillDataProvider>()
  return useQuery({
    queryKey: ['orders', 'solution', id],
    queryFn: ({ signal }) => mill.act<MixView>('GET', `/orders/${id}/solution`, undefined, { signal }),
    // the stock moves: what was worked out a moment ago is not shown as of now
    gcTime: 0,
    retry: false,
  })
}
