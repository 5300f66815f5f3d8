import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { z } from 'zod'
import type { SampleDueView, SamplesDueView } from '#contract/laboratory'
import { formatDate } from '../format/dates'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { useMay } from '../providers/useMay'
import { ingredientOf, useIngredientName, WithPicture } from '../resources/ingredients/names'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Card } from '../ui/Card'
import { CheckShape } from '../ui/CheckShape'
import { FailureBar } from '../ui/Failure'
import { Empty, Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

export type SampleDue = z.output<typeof SampleDueView>
type SamplesDue = z.output<typeof SamplesDueView>

export const useSamplesDue = () => {
  const mill = useDataProvider<MillDataProvider>()
  return useQuery({ queryKey: ['samples-due'], queryFn: () => mill.act<SamplesDue>('GET', '/samples-due'), retry: false })
}

/** What must and what should be tested, and who waits for it. */
const Due = ({ due }: { due: SampleDue }) => {
  const { t, language } = useStaffWords()
  const named = (hazards: SampleDue['required']): string => hazards.map((hazard) => t(`matrix.hazard.${hazard}`)).join(', ')
  return (
    <>
      <WithPicture pictogram={due.pictogram}>
        {[formatKg(due.kg), due.storagePlace, due.supplierName].filter((part) => part !== '').join(', ')}
      </WithPicture>
      {due.required.length > 0 && <p className="k-strong">{t('bench.required', { what: named(due.required) })}</p>}
      {due.asked.length > 0 && <p>{t('bench.asked', { what: named(due.asked) })}</p>}
      {due.why === 're-test' && due.retestOn && (
        <p className="k-line">
          <CheckShape verdict="warn" size={20} />
          {t('bench.retest', { day: formatDate(due.retestOn, language) })}
        </p>
      )}
      {due.orders.length > 0 && <p>{t('bench.orders', { orders: due.orders.join(', ') })}</p>}
      <p>
        {t('lab.waitsSince', { day: formatDate(due.waitsSince, language) })}. {due.onlyOne && `${t('bench.onlyOne')} `}
        <a href={`#/lots/${due.lotId}/show`}>{t('lab.toLot', { number: due.lotNumber })}</a>
      </p>
    </>
  )
}

/** What the laboratory has to do, oldest first: who waited longest is next. */
const ToTest = () => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const may = useMay()
  usePageTitle(t('lab.toTest'))
  const { data, error, isPending, refetch } = useSamplesDue()
  return (
    <div className="k-page">
      <h1>{t('lab.toTest')}</h1>
      <div className="k-row">
        {may('create', 'assays') && (
          <>
            <a className="k-button" data-kind="main" href="#/record-samples">
              {t('bench.batchTitle')}
            </a>
            <a className="k-button" href="#/import-results">
              {t('assayImport.title')}
            </a>
          </>
        )}
        <a className="k-button" href="#/required-tests">
          {t('matrix.title')}
        </a>
      </div>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={4} />}
      {data?.samples.length === 0 && <Empty>{t('lab.toTestEmpty')}</Empty>}
      {data && data.samples.length > 0 && (
        <p>
          {t('lab.oldest', { smart_count: data.samples.length })}
          {data.ordersToPlan > 0 && `. ${t('bench.toPlan', { smart_count: data.ordersToPlan })}`}
        </p>
      )}
      {data?.samples.map((due) => (
        <Card
          key={due.lotId}
          title={t('bench.sampleNamed', { sample: due.sample, number: due.lotNumber, name: nameOf(ingredientOf(due)) })}
          action={
            may('create', 'assays') && (
              <a className="k-button" href={`#/lots/${due.lotId}/record`}>
                {t('lab.record')}
              </a>
            )
          }
        >
          <Due due={due} />
        </Card>
      ))}
    </div>
  )
}

export default ToTest
