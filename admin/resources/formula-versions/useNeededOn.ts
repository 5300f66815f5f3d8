import { useGetList } from 'react-admin'

type Waiting = { readonly id: string; readonly dueOn: string }

/** The day on which the first order that waits for a feed is due; null where none waits or it is not known yet. */
export const useNeededOn = (formulaId: string): string | null => {
  const { data } = useGetList<Waiting>('orders', {
    pagination: { page: 1, perPage: 1 },
    sort: { field: 'dueOn', order: 'ASC' },
    filter: { formulaId, status: 'ordered' },
  })
  return data?.[0]?.dueOn ?? null
}
