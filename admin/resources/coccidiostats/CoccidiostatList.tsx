import type { z } from 'zod'
import type { CoccidiostatView } from '#contract/requirements'
import { sourceTitle } from '#contract/source-titles'
import { useStaffWords } from '../../i18n/words'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { CheckWord } from '../../ui/CheckShape'
import { Empty } from '../../ui/Waiting'
import { Seen } from '../requirements/RequirementList'
import { countryName } from '../safety-rules/country'
import '../lots/lots.css'

type Medicine = z.output<typeof CoccidiostatView>

const useMedicineWords = () => {
  const { t } = useStaffWords()
  const dose = ({ minMgPerKg: min, maxMgPerKg: max }: Medicine): string => {
    if (max === '') return t('coccidiostats.doseUnknown')
    return min === '' || min === max ? t('coccidiostats.doseOne', { max }) : t('coccidiostats.doseRange', { min, max })
  }
  const age = ({ maxAgeWeeks }: Medicine): string => {
    if (maxAgeWeeks === '') return t('coccidiostats.noAge')
    return /^\d+$/.test(maxAgeWeeks) ? t('coccidiostats.weeks', { weeks: maxAgeWeeks }) : maxAgeWeeks
  }
  const wait = ({ withdrawalDays }: Medicine): string =>
    withdrawalDays === '' ? t('coccidiostats.noAge') : t('unit.days', { smart_count: Number(withdrawalDays) })
  return { dose, age, wait }
}

/** Whether a row lets the medicine go to laying hens: only a plain yes does. */
const Hens = ({ row }: { row: Medicine }) => {
  const { t } = useStaffWords()
  const answer = row.mayFeedToLayingHens
  if (answer.startsWith('yes')) return <span lang="en">{t('coccidiostats.yes')}</span>
  return answer === 'no' ? <CheckWord verdict="block" /> : <>{t('coccidiostats.notStated')}</>
}

const CoccidiostatList = () => {
  const { t, language } = useStaffWords()
  const { dose, age, wait } = useMedicineWords()
  usePageTitle(t('coccidiostats.title'))
  const columns: ListColumn<Medicine>[] = [
    {
      key: 'active',
      title: t('coccidiostats.active'),
      sortBy: 'active',
      cell: (row) => (
        <span lang="en">
          <span className="k-strong">{row.active}</span>, {row.category}
        </span>
      ),
    },
    { key: 'dose', title: t('coccidiostats.dose'), right: true, cell: dose },
    { key: 'age', title: t('coccidiostats.age'), cell: age },
    { key: 'wait', title: t('coccidiostats.withdrawal'), cell: wait },
    { key: 'hens', title: t('coccidiostats.hens'), cell: (row) => <Hens row={row} /> },
    {
      key: 'danger',
      title: t('coccidiostats.danger'),
      cell: (row) => <span lang="en">{row.dangerousTo || t('coccidiostats.dangerNone')}</span>,
    },
    {
      key: 'source',
      title: t('shelf.source'),
      sortBy: 'jurisdiction',
      cell: (row) => (
        <>
          {countryName(row.jurisdiction, t)}, <span lang="en">{sourceTitle(row.source, language)}</span> <Seen seen={row.seen} />
        </>
      ),
    },
  ]
  return (
    <div className="k-page">
      <h1>{t('coccidiostats.title')}</h1>
      <p>
        {t('coccidiostats.lead')} {t('shelf.asWritten')}
      </p>
      <ServerList<Medicine>
        resource="coccidiostats"
        sort={{ field: 'active', order: 'ASC' }}
        search
        filters={['EU', 'US'].map((jurisdiction) => ({ key: jurisdiction, label: countryName(jurisdiction, t), filter: { jurisdiction } }))}
        columns={columns}
        card={(row) => (
          <>
            <span className="k-strong" lang="en">
              {row.active}, {row.category}
            </span>
            <span className="k-tabular">{dose(row)}</span>
            <span>
              {t('coccidiostats.hens')}: <Hens row={row} />
            </span>
            <span>
              {t('coccidiostats.age')}: {age(row)}; {t('coccidiostats.withdrawal')}: {wait(row)}
            </span>
            <span className="k-caption">
              {countryName(row.jurisdiction, t)}, <span lang="en">{sourceTitle(row.source, language)}</span>
            </span>
            <Seen seen={row.seen} />
          </>
        )}
        empty={<Empty>{t('coccidiostats.empty')}</Empty>}
      />
    </div>
  )
}

export default CoccidiostatList
