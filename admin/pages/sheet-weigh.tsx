import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { BatchView } from '#contract/production'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { unbroken } from '../resources/sheets/sheetWords'
import { FromSheetLine, useFromSheet, withSheet } from '../resources/sheets/useFromSheet'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Card, Row } from '../ui/Card'
import { FailureBar } from '../ui/Failure'
import { Empty, Loading } from '../ui/Waiting'

type Batch = z.output<typeof BatchView>
const SHOWN = 100

/** Which load the sheet was written for; its weights are then typed as from any paper sheet. */
const SheetWeigh = () => {
  const { t, language } = useStaffWords()
  const from = useFromSheet()
  const title = from ? t('blankSheet.weighTitle', { code: unbroken(from.sheet) }) : t('blankSheet.enterTitle')
  usePageTitle(title)
  const { data, error, refetch } = useGetList<Batch>('batches', {
    filter: { status: 'planned,being-weighed,on-hold' },
    pagination: { page: 1, perPage: SHOWN },
    sort: { field: 'number', order: 'ASC' },
  })
  const open = data?.filter(({ finishedAt }) => finishedAt === null)
  return (
    <div className="k-page">
      <h1>{title}</h1>
      {from && <FromSheetLine from={from} />}
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading rows={4} />}
      {open?.length === 0 && <Empty>{t('blankSheet.weighNone')}</Empty>}
      {from && open && open.length > 0 && (
        <Card title={t('blankSheet.weighLead')}>
          <div>
            {open.map((batch) => (
              <Row key={batch.id}>
                <b>{t('blankSheet.load', { number: batch.number })}</b>
                <br />
                <span>
                  {language === 'en' ? batch.feedNameEn : batch.feedNameSw}, <span className="k-tabular">{formatKg(batch.loadKg)}</span>
                </span>
                <br />
                <span className="k-caption">
                  {batch.memberName}, {batch.mixerName}
                </span>
                <br />
                <a
                  className="k-button"
                  href={`#${withSheet(`/batches/${batch.id}/paper`, from)}`}
                  aria-label={`${t('blankSheet.weighOpen')}: ${t('blankSheet.load', { number: batch.number })}`}
                >
                  {t('blankSheet.weighOpen')}
                </a>
              </Row>
            ))}
          </div>
        </Card>
      )}
    </div>
  )
}

export default SheetWeigh
