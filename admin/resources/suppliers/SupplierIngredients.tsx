import { useState } from 'react'
import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { SupplierIngredientView } from '#contract/suppliers'
import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { asProblem } from '../../shell/useAct'
import { useWide } from '../../shell/useWide'
import { Button } from '../../ui/Button'
import { Card, Row } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { ingredientOf, useIngredientName, WithPicture } from '../ingredients/names'
import '../../shell/serverList.css'

type Delivered = z.output<typeof SupplierIngredientView>
type Field = 'lots' | 'receivedKg' | 'lastReceivedAt'
type Sort = { readonly field: Field; readonly order: 'ASC' | 'DESC' }

const PER_PAGE = 10
const MOST_LOTS_FIRST: Sort = { field: 'lots', order: 'DESC' }

/** What a supplier delivered, the most lots first. */
export const useDelivered = (supplierId: string) => {
  const [sort, setSort] = useState(MOST_LOTS_FIRST)
  const [page, setPage] = useState(1)
  const pagination = { page, perPage: PER_PAGE }
  const list = useGetList<Delivered>('supplier-ingredients', { pagination, sort, filter: { supplierId } })
  return { ...list, sort, setSort, page, setPage }
}

type Shown = { readonly rows: readonly Delivered[]; readonly chosen: string | undefined; readonly hrefOf: (ingredientId: string) => string }

const useRowWords = () => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  return {
    name: (row: Delivered): string => nameOf(ingredientOf({ ...row, ingredientId: row.id })),
    rejected: ({ rejectedLots, rejectedKg }: Delivered): string =>
      rejectedLots === 0
        ? t('suppliers.record.rejectedNone')
        : t('suppliers.record.rejectedLots', { smart_count: rejectedLots, kg: formatKg(rejectedKg) }),
  }
}

type HeadProps = {
  readonly field: Field
  readonly title: string
  readonly sort: Sort
  readonly onSort: (sort: Sort) => void
  readonly right?: boolean
}

const Head = ({ field, title, sort, onSort, right = false }: HeadProps) => {
  const own = sort.field === field
  const down = sort.order === 'DESC'
  return (
    <th scope="col" data-align={right ? 'right' : undefined} aria-sort={own ? (down ? 'descending' : 'ascending') : 'none'}>
      <button type="button" className="k-sort" onClick={() => onSort({ field, order: own && down ? 'ASC' : 'DESC' })}>
        {title}
        <svg width={12} height={12} viewBox="0 0 12 12" aria-hidden>
          {own && <path d={down ? 'M2 3L6 9L10 3' : 'M2 9L6 3L10 9'} />}
        </svg>
      </button>
    </th>
  )
}

const Table = ({ rows, chosen, hrefOf, sort, onSort }: Shown & Pick<HeadProps, 'sort' | 'onSort'>) => {
  const { t, language } = useStaffWords()
  const words = useRowWords()
  return (
    <table className="k-table k-list-table">
      <thead>
        <tr>
          <th scope="col">{t('suppliers.record.ingredient')}</th>
          <Head right field="lots" title={t('suppliers.lots')} sort={sort} onSort={onSort} />
          <Head right field="receivedKg" title={t('suppliers.received')} sort={sort} onSort={onSort} />
          <th scope="col">{t('suppliers.record.rejected')}</th>
          <Head field="lastReceivedAt" title={t('suppliers.record.last')} sort={sort} onSort={onSort} />
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id}>
            <td>
              <a href={hrefOf(row.id)} aria-current={row.id === chosen ? 'true' : undefined}>
                <WithPicture pictogram={row.pictogram}>{words.name(row)}</WithPicture>
              </a>
            </td>
            <td data-align="right">{row.lots}</td>
            <td data-align="right">{formatKg(row.receivedKg)}</td>
            <td>{words.rejected(row)}</td>
            <td>{formatDate(row.lastReceivedAt, language)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const Rows = ({ rows, chosen, hrefOf }: Shown) => {
  const { t, language } = useStaffWords()
  const words = useRowWords()
  return rows.map((row) => (
    <Row
      key={row.id}
      action={
        <a className="k-button" href={hrefOf(row.id)} aria-current={row.id === chosen ? 'true' : undefined}>
          {t('suppliers.record.look')}
          <span className="k-hidden"> {words.name(row)}</span>
        </a>
      }
    >
      <div className="k-strong">
        <WithPicture pictogram={row.pictogram}>{words.name(row)}</WithPicture>
      </div>
      <div className="k-tabular">
        {t('suppliers.lotsCount', { smart_count: row.lots })}, {formatKg(row.receivedKg)};{' '}
        {t('suppliers.record.rejectedOf', { lots: words.rejected(row) })}
      </div>
      <div className="k-caption">
        {t('suppliers.record.last')}: {formatDate(row.lastReceivedAt, language)}
      </div>
    </Row>
  ))
}

type SupplierIngredientsProps = Omit<Shown, 'rows'> & { readonly delivered: ReturnType<typeof useDelivered> }

/** What was delivered, an ingredient a row; each leads to its record below. */
export const SupplierIngredients = ({ delivered, ...shown }: SupplierIngredientsProps) => {
  const { t } = useStaffWords()
  const wide = useWide()
  const { data, total = 0, error, isPending, refetch, sort, setSort, page, setPage } = delivered
  return (
    <Card title={t('suppliers.record.delivered')}>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={3} />}
      {data?.length === 0 && <p>{t('suppliers.record.nothing')}</p>}
      {data && data.length > 0 && (wide ? <Table rows={data} {...shown} sort={sort} onSort={setSort} /> : <Rows rows={data} {...shown} />)}
      {total > PER_PAGE && (
        <nav className="k-row">
          {page > 1 && <Button onPress={() => setPage(page - 1)}>{t('list.previous')}</Button>}
          <span className="k-tabular">
            {t('list.shown', { from: (page - 1) * PER_PAGE + 1, to: Math.min(page * PER_PAGE, total), total })}
          </span>
          {page * PER_PAGE < total && <Button onPress={() => setPage(page + 1)}>{t('list.next')}</Button>}
        </nav>
      )}
    </Card>
  )
}
