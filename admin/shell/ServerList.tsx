import { useEffect, useState, type ReactNode } from 'react'
import { ListBase, useListContext, type RaRecord } from 'react-admin'
import { useStaffWords } from '../i18n/words'
import { Button } from '../ui/Button'
import { FailureBar } from '../ui/Failure'
import { Field } from '../ui/Field'
import { Empty, Loading } from '../ui/Waiting'
import { asProblem } from './useAct'
import { useWide } from './useWide'
import './serverList.css'

export type ListColumn<R> = {
  readonly key: string
  readonly title: string
  readonly right?: boolean
  /** The field of the mill's list that this column is sorted by. */
  readonly sortBy?: string
  readonly cell: (row: R) => ReactNode
}
/** A word one can tap; `filter` is what it asks the mill for. */
export type ListFilter = { readonly key: string; readonly label: string; readonly filter: Readonly<Record<string, string>> }

type Shown<R> = {
  readonly columns: readonly ListColumn<R>[]
  /** A phone's card: name, one figure, one state. */
  readonly card: (row: R) => ReactNode
  /** Without it the rows have no page of their own. */
  readonly href?: (row: R) => string
  readonly action?: (row: R) => ReactNode
  readonly filters?: readonly ListFilter[]
  readonly search?: boolean
  /** Further choices, inside the list's context (`ListSelect`). */
  readonly tools?: ReactNode
  readonly empty: ReactNode
}
type ServerListProps<R> = Shown<R> & {
  readonly resource: string
  readonly sort: { readonly field: string; readonly order: 'ASC' | 'DESC' }
  readonly perPage?: number
}

type Filter = Readonly<Record<string, unknown>>
const without = (filter: Filter, names: readonly string[]): Filter =>
  Object.fromEntries(Object.entries(filter).filter(([name]) => !names.includes(name)))

/** The filter of the list as the address has it, and the way to change it at once. */
const useFilter = (): readonly [Filter, (next: Filter) => void] => {
  const list = useListContext()
  const filter = list.filterValues as Filter
  return [filter, (next) => list.setFilters({ ...next }, {}, false)]
}

const SEARCH_AFTER_MS = 400

const Search = () => {
  const { t } = useStaffWords()
  const [filter, setFilter] = useFilter()
  const asked = typeof filter['q'] === 'string' ? filter['q'] : ''
  const [typed, setTyped] = useState(asked)
  useEffect(() => {
    if (typed.trim() === asked) return undefined
    const timer = setTimeout(() => setFilter({ ...filter, q: typed.trim() }), SEARCH_AFTER_MS)
    return () => clearTimeout(timer)
  }, [typed, asked, filter, setFilter])
  return <Field label={t('list.lookFor')} value={typed} onChange={setTyped} type="search" autoComplete="off" />
}

const Filters = ({ filters }: { filters: readonly ListFilter[] }) => {
  const { t } = useStaffWords()
  const [shown, setFilter] = useFilter()
  const names = [...new Set(filters.flatMap(({ filter }) => Object.keys(filter)))]
  const rest = without(shown, names)
  const isOn = ({ filter }: ListFilter): boolean => {
    const set = names.filter((name) => shown[name] !== undefined && shown[name] !== '')
    return set.length === Object.keys(filter).length && set.every((name) => shown[name] === filter[name])
  }
  return (
    <div className="k-row" role="group" aria-label={t('list.filters')}>
      {filters.map((entry) => (
        <Button
          key={entry.key}
          pressed={isOn(entry)}
          kind={isOn(entry) ? 'main' : 'plain'}
          onPress={() => setFilter(isOn(entry) ? rest : { ...rest, ...entry.filter })}
        >
          {entry.label}
        </Button>
      ))}
    </div>
  )
}

const Head = <R,>({ column }: { column: ListColumn<R> }) => {
  const { sort, setSort } = useListContext()
  const { t } = useStaffWords()
  const { sortBy } = column
  if (sortBy === undefined) {
    return (
      <th scope="col" data-align={column.right ? 'right' : undefined}>
        {column.title}
      </th>
    )
  }
  const own = sort.field === sortBy
  const up = sort.order === 'ASC'
  return (
    <th scope="col" data-align={column.right ? 'right' : undefined} aria-sort={own ? (up ? 'ascending' : 'descending') : 'none'}>
      <button
        type="button"
        className="k-sort"
        title={own ? t(up ? 'list.sortedUp' : 'list.sortedDown', { column: column.title }) : undefined}
        onClick={() => setSort({ field: sortBy, order: own && up ? 'DESC' : 'ASC' })}
      >
        {column.title}
        <svg width={12} height={12} viewBox="0 0 12 12" aria-hidden>
          {own && <path d={up ? 'M2 9L6 3L10 9' : 'M2 3L6 9L10 3'} />}
        </svg>
      </button>
    </th>
  )
}

const Table = <R extends RaRecord>({ rows, columns, href, action }: Shown<R> & { rows: readonly R[] }) => {
  const { t } = useStaffWords()
  return (
    <table className="k-table k-list-table">
      <thead>
        <tr>
          {columns.map((column) => (
            <Head key={column.key} column={column} />
          ))}
          {action && (
            <th scope="col">
              <span className="k-hidden">{t('action.open')}</span>
            </th>
          )}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id}>
            {columns.map((column, index) => (
              <td key={column.key} data-align={column.right ? 'right' : undefined}>
                {index === 0 && href ? <a href={`#${href(row)}`}>{column.cell(row)}</a> : column.cell(row)}
              </td>
            ))}
            {action && <td data-align="right">{action(row)}</td>}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const Cards = <R extends RaRecord>({ rows, card, href, action }: Shown<R> & { rows: readonly R[] }) => {
  const { t } = useStaffWords()
  return (
    <ul className="k-quiet-list k-stack">
      {rows.map((row) => (
        <li key={row.id} className="k-card k-list-card">
          <div className="k-list-main" id={`card-${row.id}`}>
            {card(row)}
          </div>
          {(action || href) && (
            <div className="k-row">
              {action?.(row) ??
                (href && (
                  <a className="k-button" href={`#${href(row)}`} aria-describedby={`card-${row.id}`}>
                    {t('action.open')}
                  </a>
                ))}
            </div>
          )}
        </li>
      ))}
    </ul>
  )
}

const Pages = () => {
  const { t } = useStaffWords()
  const { page, perPage, total = 0, setPage } = useListContext()
  if (total === 0) return null
  const last = Math.ceil(total / perPage)
  return (
    <nav className="k-row">
      {page > 1 && <Button onPress={() => setPage(page - 1)}>{t('list.previous')}</Button>}
      <span className="k-tabular">{t('list.shown', { from: (page - 1) * perPage + 1, to: Math.min(page * perPage, total), total })}</span>
      {page < last && <Button onPress={() => setPage(page + 1)}>{t('list.next')}</Button>}
    </nav>
  )
}

const Inside = <R extends RaRecord>(shown: Shown<R>) => {
  const { t } = useStaffWords()
  const wide = useWide()
  const { data, error, isPending, refetch } = useListContext<R>()
  const [filter, setFilter] = useFilter()
  const filtered = Object.values(filter).some((value) => value !== undefined && value !== '')
  return (
    <>
      {shown.search && <Search />}
      {shown.tools}
      {shown.filters && <Filters filters={shown.filters} />}
      {error ? (
        <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
      ) : isPending ? (
        <Loading rows={5} />
      ) : data.length === 0 && !filtered ? (
        shown.empty
      ) : data.length === 0 ? (
        <Empty action={<Button onPress={() => setFilter({})}>{t('action.clearFilter')}</Button>}>{t('list.nothing')}</Empty>
      ) : wide ? (
        <Table rows={data} {...shown} />
      ) : (
        <Cards rows={data} {...shown} />
      )}
      <Pages />
    </>
  )
}

/** A list that the mill pages, sorts and filters; all three stand in the address. Cards on a phone, a table on a desktop. */
export const ServerList = <R extends RaRecord>({ resource, sort, perPage = 25, ...shown }: ServerListProps<R>) => (
  <ListBase resource={resource} sort={sort} perPage={perPage} storeKey={false}>
    <Inside {...shown} />
  </ListBase>
)
