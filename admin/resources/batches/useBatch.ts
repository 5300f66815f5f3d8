import { useGetOne } from 'react-admin'
import type { BatchDetail } from './batchModel'

/** One load with its rows. Coming from a list, its line there is known first; a page waits for the whole. */
export const useBatch = (id: string) => {
  const { data, error, refetch } = useGetOne<BatchDetail>('batches', { id })
  const whole = (data as Partial<BatchDetail> | undefined)?.lines === undefined ? undefined : data
  return { batch: whole, error, refetch }
}
