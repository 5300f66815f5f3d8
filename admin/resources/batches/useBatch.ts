import { useQueryClient } from '@tanstack/react-query'
import { useWhole, WHOLE } from '../../providers/useWhole'
import type { BatchDetail } from './batchModel'

/** One load with its rows. */
export const useBatch = (id: string) => {
  const { data: batch, error, refetch } = useWhole<BatchDetail>('batches', id)
  return { batch, error, refetch }
}

/** What a command answered is what every page shows from now on. */
export const useKeepBatch = (): ((batch: BatchDetail) => void) => {
  const queries = useQueryClient()
  return (batch) => void queries.setQueryData(['batches', 'getOne', { id: batch.id, meta: WHOLE }], batch)
}
