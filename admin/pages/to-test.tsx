import { useGetList } from 'react-admin'
import type { LotView } from '#contract/lots'
import { formatDate } from '../format/dates'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { ingredientOf, useIngredientName, WithPicture } from '../resources/ingredients/names'
import { analyteName } from '../resources/lots/lotWords'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Card } from '../ui/Card'
import { FailureBar } from '../ui/Failure'
import { Empty, Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

/** The meter at the gate counts as moisture on the lot, but not as a result of the laboratory: only protein can be told from here. */
const Missing = ({ lot }: { lot: LotView }) => {
  const { t } = useStaffWords()
  const missing = [...(lot.proteinPct === null ? ['CP'] : []), 'moisture'].map((analyte) => analyteName(analyte, t))
  return <>{t('lab.missing', { what: lot.proteinPct === null ? missing.join(', ') : analyteName('moisture', t) })}</>
}

/** What the laboratory has to do, oldest first: who waited longest is next. */
const ToTest = () => {
  const { t, language } = useStaffWords()
  const nameOf = useIngredientName()
  const may = useMay()
  usePageTitle(t('lab.toTest'))
  const { data, total, error, isPending, refetch } = useGetList<LotView>('lots', {
    pagination: { page: 1, perPage: 100 },
    sort: { field: 'receivedAt', order: 'ASC' },
    filter: { waitsFor: 'tests' },
  })
  return (
    <div className="k-page">
      <h1>{t('lab.toTest')}</h1>
      {may('create', 'assays') && (
        <div className="k-row">
          <a className="k-button" href="#/import-results">
            {t('assayImport.title')}
          </a>
        </div>
      )}
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={4} />}
      {data?.length === 0 && <Empty>{t('lab.toTestEmpty')}</Empty>}
      {data && data.length > 0 && <p>{t('lab.oldest', { smart_count: total ?? data.length })}</p>}
      {data?.map((lot) => (
        <Card
          key={lot.id}
          title={t('lots.named', { number: lot.number, name: nameOf(ingredientOf(lot)) })}
          action={
            may('create', 'assays') && (
              <a className="k-button" data-kind="main" href={`#/lots/${lot.id}/record`}>
                {t('lab.record')}
              </a>
            )
          }
        >
          <WithPicture pictogram={lot.pictogram}>{`${formatKg(lot.netKg)}, ${lot.storagePlace}, ${lot.supplierName}`}</WithPicture>
          <p>
            {t('lab.waitsSince', { day: formatDate(lot.receivedAt, language) })}. <Missing lot={lot} />.{' '}
            <a href={`#/lots/${lot.id}/show`}>{t('lab.toLot', { number: lot.number })}</a>
          </p>
        </Card>
      ))}
    </div>
  )
}

export default ToTest
