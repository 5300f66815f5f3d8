import { useQueryClient } from '@tanstack/react-query'
import { useGetOne } from 'react-admin'
import type { BatchDetail } from './batchModel'

/** One load with its rows. Coming from a list, its line there is known first; a page waits for the whole. */
export const useBatch = (id: string) => {
  const { data, error, refetch } = useGetOne<BatchDetail>('batches', { id })
  const whole = (data as Partial<BatchDetail> | undefined)?.lines === undefined ? undefined : data
  return { batch: whole, error, refetch }
}

/** What a command answered is what every page shows from now on. */
export const useKeepBatch = (): ((batch: BatchDetail) => void) => {
  const queries = useQueryClient()
  return (batch) => void queries.setQueryData(['batches', 'getOne', { id: batch.id, meta: undefined }], batch)
}
