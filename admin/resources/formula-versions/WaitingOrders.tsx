import { useGetList } from 'react-admin'
import { useStaffWords } from '../../i18n/words'

/** How many orders of a feed wait to be planned: whom a change of its version reaches. */
export const WaitingOrders = ({ formulaId }: { formulaId: string }) => {
  const { t } = useStaffWords()
  const { total } = useGetList('orders', {
    pagination: { page: 1, perPage: 1 },
    sort: { field: 'dueOn', order: 'ASC' },
    filter: { formulaId, status: 'ordered' },
  })
  return total === undefined ? null : <p>{t('formula.approveOrders', { smart_count: total })}</p>
}
