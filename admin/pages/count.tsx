import { LOT_STATUSES, type LotView } from '#contract/lots'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { ingredientOf, useIngredientName } from '../resources/ingredients/names'
import { ServerList, type ListColumn } from '../shell/ServerList'
import { usePageTitle } from '../shell/usePageTitle'
import { StateWord } from '../ui/StateWord'
import { Empty } from '../ui/Waiting'
import '../resources/lots/lots.css'

/** The lots, to choose the one that is counted: its number stands on the stack. */
const Count = () => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  usePageTitle(t('stockChange.count.list'))
  const name = (lot: LotView): string => t('lots.named', { number: lot.number, name: nameOf(ingredientOf(lot)) })
  const books = (lot: LotView): string => t('stockChange.count.inStore', { kg: formatKg(lot.onHandKg) })
  const state = (lot: LotView) => <StateWord thing="lot" state={lot.status} />
  const columns: ListColumn<LotView>[] = [
    { key: 'number', title: t('lots.lot'), sortBy: 'number', cell: (lot) => <span className="k-lot-number">{name(lot)}</span> },
    { key: 'state', title: t('lots.state'), sortBy: 'status', cell: state },
    { key: 'place', title: t('lots.place'), cell: (lot) => lot.storagePlace },
    { key: 'books', title: t('proof.kg'), right: true, cell: books },
  ]
  return (
    <div className="k-page">
      <h1>{t('stockChange.count.list')}</h1>
      <p>{t('stockChange.count.lead')}</p>
      <ServerList<LotView>
        resource="lots"
        sort={{ field: 'number', order: 'DESC' }}
        search
        filters={LOT_STATUSES.map((status) => ({ key: status, label: t(`state.lot.${status}`), filter: { status } }))}
        columns={columns}
        href={(lot) => `/lots/${lot.id}/count`}
        card={(lot) => (
          <>
            <span className="k-row k-between">
              <span className="k-lot-number">{name(lot)}</span>
              {state(lot)}
            </span>
            <span className="k-tabular">{[books(lot), lot.storagePlace].filter(Boolean).join(', ')}</span>
          </>
        )}
        empty={<Empty>{t('stockChange.count.empty')}</Empty>}
      />
    </div>
  )
}

export default Count
