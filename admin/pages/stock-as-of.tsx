import { useState, type FormEvent } from 'react'
import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { StockAsOfView } from '#contract/stock'
import { clockOf, instantOf } from '../format/instants'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { FailureBar } from '../ui/Failure'
import { Field } from '../ui/Field'
import { Empty, Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

type Row = z.output<typeof StockAsOfView>
const PER_PAGE = 25

const Figures = ({ figures }: { figures: Row['happened'] }) => {
  const { t } = useStaffWords()
  return (
    <>
      <span className="k-tabular">{formatKg(figures.onHandKg)}</span>
      {Number(figures.reservedKg) > 0 && (
        <>
          <br />
          <span className="k-caption k-tabular">{t('stockChange.asOf.aside', { kg: formatKg(figures.reservedKg) })}</span>
        </>
      )}
    </>
  )
}

const differ = ({ happened, entered }: Row): boolean => happened.onHandKg !== entered.onHandKg || happened.reservedKg !== entered.reservedKg

const Table = ({ rows }: { rows: readonly Row[] }) => {
  const { t, language } = useStaffWords()
  return (
    <table className="k-table">
      <thead>
        <tr>
          <th scope="col">{t('stockChange.asOf.lot')}</th>
          <th scope="col" data-align="right">
            {t('stockChange.asOf.happened')}
          </th>
          <th scope="col" data-align="right">
            {t('stockChange.asOf.entered')}
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id}>
            <td>
              <a href={`#/lots/${row.id}/show`}>
                {t('lots.named', { number: row.number, name: language === 'en' ? row.ingredientNameEn : row.ingredientNameSw })}
              </a>
              {differ(row) && (
                <>
                  <br />
                  <span className="k-caption">{t('stockChange.asOf.differs')}</span>
                </>
              )}
            </td>
            <td data-align="right">
              <Figures figures={row.happened} />
            </td>
            <td data-align="right">
              <Figures figures={row.entered} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

const AtMoment = ({ at }: { at: string }) => {
  const { t } = useStaffWords()
  const [pages, setPages] = useState(1)
  const { data, total, error, isPending, refetch } = useGetList<Row>('stock-as-of', {
    filter: { at },
    pagination: { page: 1, perPage: PER_PAGE * pages },
    sort: { field: 'number', order: 'ASC' },
  })
  if (error) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  if (isPending) return <Loading rows={4} />
  if (data.length === 0) return <Empty>{t('stockChange.asOf.empty')}</Empty>
  return (
    <>
      <p>{t('stockChange.asOf.of', { smart_count: total ?? data.length })}</p>
      <Table rows={data} />
      {data.length < (total ?? 0) && PER_PAGE * (pages + 1) <= 200 && (
        <div>
          <Button onPress={() => setPages(pages + 1)}>{t('stockChange.asOf.more')}</Button>
        </div>
      )}
    </>
  )
}

/** What was in the store at a past moment, and what the books said then: the two differ where something was entered later. */
const StockAsOf = () => {
  const { t } = useStaffWords()
  usePageTitle(t('stockChange.asOf.title'))
  const [clock, setClock] = useState(() => clockOf(new Date().toISOString()))
  const [at, setAt] = useState<string>()
  const [wrong, setWrong] = useState(false)
  const show = (event: FormEvent) => {
    event.preventDefault()
    const instant = instantOf(clock)
    setWrong(instant === undefined)
    setAt(instant)
  }
  return (
    <div className="k-page k-stack">
      <h1>{t('stockChange.asOf.title')}</h1>
      <p>{t('stockChange.asOf.lead')}</p>
      <form className="k-stack" onSubmit={show} noValidate>
        <Field
          id="as-of-at"
          label={t('stockChange.asOf.at')}
          type="datetime-local"
          value={clock}
          onChange={setClock}
          error={wrong ? t('stockChange.asOf.wrong') : undefined}
          required
        />
        <div>
          <Button submit kind="main">
            {t('stockChange.asOf.show')}
          </Button>
        </div>
      </form>
      {at && <AtMoment key={at} at={at} />}
    </div>
  )
}

export default StockAsOf
