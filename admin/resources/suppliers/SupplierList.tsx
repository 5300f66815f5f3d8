import type { z } from 'zod'
import type { SupplierView } from '#contract/suppliers'
import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { formatPhone } from '../../format/phones'
import { useStaffWords } from '../../i18n/words'
import { useMay } from '../../providers/useMay'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { Empty } from '../../ui/Waiting'

export type Supplier = z.output<typeof SupplierView>

const SupplierList = () => {
  const { t, language } = useStaffWords()
  const may = useMay()
  usePageTitle(t('suppliers.title'))
  const phone = (row: Supplier): string => (row.phone === '' ? t('suppliers.noPhone') : formatPhone(row.phone))
  const place = (row: Supplier): string => (row.place === '' ? t('suppliers.noPlace') : row.place)
  const columns: ListColumn<Supplier>[] = [
    { key: 'name', title: t('suppliers.name'), sortBy: 'name', cell: (row) => row.name },
    { key: 'place', title: t('suppliers.place'), cell: place },
    { key: 'phone', title: t('suppliers.phone'), cell: phone },
    { key: 'lots', title: t('suppliers.lots'), right: true, cell: (row) => row.lots },
    { key: 'received', title: t('suppliers.received'), right: true, cell: (row) => formatKg(row.receivedKg) },
    { key: 'since', title: t('suppliers.since'), sortBy: 'createdAt', cell: (row) => formatDate(row.createdAt, language) },
  ]
  const add = may('create', 'suppliers') && (
    <a className="k-button" data-kind="main" href="#/suppliers/create">
      {t('suppliers.add')}
    </a>
  )
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('suppliers.title')}</h1>
        {add}
      </div>
      <ServerList<Supplier>
        resource="suppliers"
        sort={{ field: 'name', order: 'ASC' }}
        search
        columns={columns}
        href={(row) => `/suppliers/${row.id}/show`}
        card={(row) => (
          <>
            <span className="k-strong">{row.name}</span>
            <span>
              {place(row)}, {phone(row)}
            </span>
            <span className="k-tabular">
              {t('suppliers.lotsCount', { smart_count: row.lots })}, {formatKg(row.receivedKg)}
            </span>
          </>
        )}
        empty={<Empty action={add}>{t('suppliers.empty')}</Empty>}
      />
    </div>
  )
}

export default SupplierList
