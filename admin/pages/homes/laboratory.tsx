import { useQueries, useQuery } from '@tanstack/react-query'
import { useDataProvider, useGetList } from 'react-admin'
import type { z } from 'zod'
import type { LateResultsView } from '#contract/laboratory'
import type { LotDetailView } from '#contract/lots'
import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import type { MillDataProvider } from '../../providers/dataProvider'
import { discrepancyTold, type Discrepancy } from '../../resources/discrepancies/discrepancyWords'
import { UsedBatches } from '../../resources/lots/UsedBatches'
import { asProblem } from '../../shell/useAct'
import { Card, Row } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { HomePage, OpenLink, useNames } from './HomePage'
import type { Home } from './useHome'

type LotDetail = z.output<typeof LotDetailView>
const ALSO = 3

const Next = ({ rows }: { rows: Home['toTest'] }) => {
  const { t, language } = useStaffWords()
  const { ingredient } = useNames()
  const [first, ...others] = rows
  const missing = (row: Home['toTest'][number]): string =>
    t('homes.lab.missing', { what: row.missing.map((analyte) => t(`nutrient.${analyte}` as StaffKey)).join(', ') })
  return (
    <Card title={t('homes.lab.next')}>
      {!first && <p>{t('homes.lab.none')}</p>}
      {first && (
        <>
          <p className="k-number-large">{t('homes.store.lot', { number: first.number, name: ingredient(first) })}</p>
          <p>{missing(first)}</p>
          <OpenLink href={`#/lots/${first.id}/record`} main>
            {t('homes.lab.record')}
          </OpenLink>
          <p>{t('homes.lab.waiting', { smart_count: rows.length, date: formatDate(first.receivedAt, language) })}</p>
          {others.length > 0 && (
            <p>
              {t('homes.lab.also')}:{' '}
              {others.slice(0, ALSO).map((row, index) => (
                <span key={row.id}>
                  {index > 0 && ', '}
                  <a href={`#/lots/${row.id}/record`}>{t('homes.store.lot', { number: row.number, name: ingredient(row) })}</a>
                </span>
              ))}
            </p>
          )}
        </>
      )}
    </Card>
  )
}

/** Lots on hold whose results contradict each other or name a fraud. */
const LooksWrong = ({ rows }: { rows: Home['onHold'] }) => {
  const { t } = useStaffWords()
  const { ingredient } = useNames()
  const mill = useDataProvider<MillDataProvider>()
  const lots = useQueries({
    queries: rows.map(({ id }) => ({
      queryKey: ['lot-flags', id],
      queryFn: () => mill.act<LotDetail>('GET', `/lots/${id}`),
      retry: false,
    })),
  })
  const flagged = lots.flatMap(({ data }) =>
    data ? data.flags.filter(({ code }) => code !== 'urea-untested').map(({ code }) => ({ lot: data, code })) : [],
  )
  const failed = lots.find(({ error }) => error !== null)
  return (
    <Card title={t('homes.lab.wrong')}>
      {failed && <FailureBar problem={asProblem(failed.error)} doing="load" onTryAgain={() => void failed.refetch()} />}
      {lots.some(({ isPending }) => isPending) && <Loading rows={1} />}
      {flagged.length === 0 && lots.every(({ isSuccess }) => isSuccess) && <p>{t('homes.lab.noneWrong')}</p>}
      {flagged.map(({ lot, code }) => (
        <p key={`${lot.id} ${code}`} className="k-line">
          <CheckShape verdict="warn" size={20} />
          <a href={`#/lots/${lot.id}/show`}>
            {t(code === 'urea-found' ? 'homes.lab.urea' : 'homes.lab.disagree', { number: lot.number, name: ingredient(lot) })}
          </a>
        </p>
      ))}
    </Card>
  )
}

const UsedBefore = () => {
  const { t } = useStaffWords()
  const { data } = useGetList<Discrepancy>('discrepancies', {
    filter: { open: 'yes', q: 'released-lot-fails' },
    pagination: { page: 1, perPage: 10 },
    sort: { field: 'number', order: 'DESC' },
  })
  const mill = useDataProvider<MillDataProvider>()
  const late = useQuery({
    queryKey: ['late-results'],
    queryFn: () => mill.act<z.output<typeof LateResultsView>>('GET', '/late-results'),
    retry: false,
  })
  return (
    <Card title={t('homes.lab.used')}>
      {data?.length === 0 && late.data?.lots.length === 0 && <p>{t('homes.lab.noneUsed')}</p>}
      {late.isPending && <Loading rows={1} />}
      {late.data?.lots.map(({ lotId, lotNumber, batches }) => (
        <div key={lotId}>
          <p>
            <a href={`#/lots/${lotId}/show`}>{t('used.lot', { number: lotNumber })}</a>
          </p>
          <UsedBatches batches={batches} />
        </div>
      ))}
      {data?.map((row) => (
        <p key={row.id} className="k-line">
          <CheckShape verdict="warn" size={20} />
          <span>{discrepancyTold(row, { t })}</span>
          {row.lotNumber !== null && <a href={`#/trace?from=lot&number=${row.lotNumber}`}>{t('action.trace')}</a>}
        </p>
      ))}
    </Card>
  )
}

const Waits = ({ home }: { home: Home }) => {
  const { t, language } = useStaffWords()
  const lots = home.decide.filter(({ kind }) => kind === 'release-lot')
  if (lots.length === 0) return null
  return (
    <Card title={t('homes.lab.waits')}>
      <div>
        {lots.map(({ id, detail }) => {
          const name = String((language === 'en' ? detail['nameEn'] : detail['nameSw']) ?? '')
          const what = t('homes.store.lot', { number: String(detail['number'] ?? ''), name })
          return (
            <Row
              key={id}
              action={
                <OpenLink href={`#/lots/${id}/show`} label={`${t('homes.lab.decide')}: ${what}`}>
                  {t('homes.lab.decide')}
                </OpenLink>
              }
            >
              <b>{what}</b>, <span className="k-tabular">{formatKg(String(detail['kg'] ?? '0'))}</span>
            </Row>
          )
        })}
      </div>
    </Card>
  )
}

/** Which sample next, which results look wrong, what was used although a later result speaks against it. */
const LaboratoryHome = () => (
  <HomePage title="nav.toTest">
    {(home) => (
      <div className="k-columns">
        <Next rows={home.toTest} />
        <div className="k-stack">
          <LooksWrong rows={home.onHold} />
          <UsedBefore />
          <Waits home={home} />
        </div>
      </div>
    )}
  </HomePage>
)

export default LaboratoryHome
