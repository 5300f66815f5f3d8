import { useGetList } from 'react-admin'
import { useNavigate, useParams } from 'react-router-dom'
import { formatDate } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { EffectPage } from '../../ui/EffectPage'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { discrepancyTold, kindWords, type Discrepancy } from './discrepancyWords'

const Close = ({ row }: { row: Discrepancy }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const { send, problem } = useAct()
  const title = t('discrepancy.closeTitle', { number: row.number })
  usePageTitle(title)
  const back = () => void navigate(-1)
  const close = async ({ reason }: { reason: string }) => {
    const path = `/discrepancies/${row.id}/close`
    const done = await send<Discrepancy>({ method: 'POST', path, body: { reason }, revision: row.revision })
    if (done) back()
  }
  return (
    <EffectPage
      title={title}
      effect={
        <>
          <p>
            {kindWords(row.kind, t)}. {discrepancyTold(row, { t })}
          </p>
          <p>{t('discrepancy.closeEffect')}</p>
        </>
      }
      confirmLabel={t('discrepancy.closeButton', { number: row.number })}
      reasonLabel={t('discrepancy.closeReason')}
      onConfirm={close}
      onCancel={back}
      problem={problem}
    >
      {row.batchId !== null && (
        <p>
          <a className="k-button" href={`#/batches/${row.batchId}/show`}>
            {t('discrepancy.openLoad', { number: row.batchNumber ?? '' })}
          </a>
        </p>
      )}
    </EffectPage>
  )
}

/** The manager has looked into it: the reason stays with the fact for ever. */
const CloseDiscrepancy = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const { data, error } = useGetList<Discrepancy>('discrepancies', {
    filter: { id },
    pagination: { page: 1, perPage: 1 },
    sort: { field: 'number', order: 'DESC' },
  })
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  if (!data) return <Loading />
  const [row] = data
  if (!row) return <p className="k-page">{t('problem.not-found')}</p>
  if (row.closedAt === null) return <Close row={row} />
  return (
    <div className="k-page">
      <h1>{t('discrepancy.named', { number: row.number })}</h1>
      <p>{discrepancyTold(row, { t })}</p>
      <p className="k-strong">{t('discrepancy.gone')}</p>
      <p>{t('discrepancy.closedBy', { who: row.closedBy ?? '', date: formatDate(row.closedAt, language), reason: row.reason ?? '' })}</p>
    </div>
  )
}

export default CloseDiscrepancy
