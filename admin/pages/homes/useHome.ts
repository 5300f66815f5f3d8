import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { z } from 'zod'
import type { HomeView } from '#contract/home'
import type { MillDataProvider } from '../../providers/dataProvider'

export type Home = z.output<typeof HomeView>

/** A home page left open on the wall asks again by itself. */
const AGAIN_AFTER_MS = 60_000

/** What the role of the reader must know now. */
export const useHome = () => {
  const mill = useDataProvider<MillDataProvider>()
  return useQuery({ queryKey: ['home'], queryFn: () => mill.act<Home>('GET', '/home'), refetchInterval: AGAIN_AFTER_MS })
}
