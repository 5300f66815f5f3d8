import type { ReactNode } from 'react'
import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { BatchView } from '#contract/production'
import { isoDay, formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { asProblem } from '../../shell/useAct'
import { CheckShape } from '../../ui/CheckShape'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { bagsTold } from '../batches/batchParts'
import { momentTold } from './sheetWords'

type Batch = z.output<typeof BatchView>
const SHOWN = 100

/** What should have kept bags of a load back, or makes the time on the sheet doubtful: they are gone all the same, so it warns. */
const useWarnings = (at: string) => {
  const { t, language } = useStaffWords()
  return ({ number, status, finishedAt, bestBefore }: Batch): string[] => [
    ...(status === 'on-hold' ? [t('blankSheet.bagsHeld', { number })] : []),
    ...(bestBefore !== null && bestBefore < isoDay(at)
      ? [t('blankSheet.bagsPast', { number, date: formatDate(bestBefore, language) })]
      : []),
    ...(finishedAt !== null && finishedAt > at ? [t('blankSheet.bagsEarly', { number, when: momentTold(finishedAt, language) })] : []),
  ]
}

/** Bags of loads that nobody has entered are not in the books yet: their sheets come first. */
const NotMade = ({ loads }: { loads: readonly Batch[] }) => {
  const { t } = useStaffWords()
  return (
    <div className="k-stack" role="status">
      {loads.map(({ id, number }) => (
        <p key={id} className="k-verdict-line">
          <CheckShape verdict="block" size={20} /> <span>{t('blankSheet.bagsNotMade', { number })}</span>
        </p>
      ))}
      <a className="k-button" href="#/enter-sheet">
        {t('blankSheet.another')}
      </a>
    </div>
  )
}

type BagsProps = { readonly orderId: string; readonly at: string; readonly children: ReactNode }

/** The bags that are booked as handed over, load by load, to be held against what the sheet says; below them the rest of the form. */
export const SheetBags = ({ orderId, at, children }: BagsProps) => {
  const { t } = useStaffWords()
  const warningsOf = useWarnings(at)
  const { data, error, refetch } = useGetList<Batch>('batches', {
    filter: { orderId },
    pagination: { page: 1, perPage: SHOWN },
    sort: { field: 'number', order: 'ASC' },
  })
  if (error) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  if (!data) return <Loading rows={2} />
  const loads = data.filter(({ status }) => status !== 'cancelled')
  const notMade = loads.filter(({ finishedAt }) => finishedAt === null)
  if (notMade.length > 0) return <NotMade loads={notMade} />
  const kg = loads.reduce((sum, { bagsOnHandKg }) => sum + Number(bagsOnHandKg), 0)
  return (
    <>
      <div className="k-stack" role="status">
        <p className="k-strong">{t('blankSheet.bagsBooked', { kg: formatKg(kg) })}</p>
        {loads.map((load) => (
          <div key={load.id}>
            <p className="k-tabular">
              {t('blankSheet.load', { number: load.number })}: {bagsTold(load.bagsOnHandKg, load.bagKg, t)}
            </p>
            {warningsOf(load).map((warning) => (
              <p key={warning} className="k-verdict-line">
                <CheckShape verdict="warn" size={20} /> <span>{warning}</span>
              </p>
            ))}
          </div>
        ))}
      </div>
      {children}
    </>
  )
}
