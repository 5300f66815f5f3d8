import { useState } from 'react'
import { useGetList } from 'react-admin'
import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { EffectPage } from '../../ui/EffectPage'
import { FailureBar, FieldError } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { proposalTold, proposedBy, signedKg, type Proposal } from './proposalWords'

const Decide = ({ row }: { row: Proposal }) => {
  const words = useStaffWords()
  const { t } = words
  const navigate = useNavigate()
  const { send, problem, errorAt, forget } = useAct()
  const [refusing, setRefusing] = useState(false)
  const title = t('stockChange.proposals.named', { number: row.number })
  usePageTitle(title)
  const back = () => void navigate('/stock-proposals')
  const act = (verb: 'confirm' | 'refuse') => async (signed: { reason: string }) => {
    const path = `/stock-proposals/${row.id}/${verb}`
    const body = verb === 'refuse' ? { reason: signed.reason } : {}
    if (await send<Proposal>({ method: 'POST', path, body, revision: row.revision })) back()
  }
  const turn = () => {
    forget()
    setRefusing(!refusing)
  }
  const why = errorAt('id') ?? errorAt('kg')
  const effect = (
    <>
      <p>{proposalTold(row, words)}</p>
      <p>{proposedBy(row, words)}</p>
      {!refusing && (
        <p className="k-strong k-tabular">
          {t('stockChange.proposals.effect', {
            lot: row.lotNumber,
            from: formatKg(row.onHandKg),
            to: formatKg((Number(row.onHandKg) + Number(row.differenceKg)).toFixed(3)),
          })}
        </p>
      )}
    </>
  )
  return (
    <EffectPage
      key={refusing ? 'refuse' : 'confirm'}
      title={title}
      danger={refusing}
      effect={effect}
      confirmLabel={
        refusing
          ? t('stockChange.proposals.refuseButton', { number: row.number })
          : t('stockChange.proposals.confirm', { kg: signedKg(row.differenceKg) })
      }
      {...(refusing && { reasonLabel: t('stockChange.proposals.refuseReason') })}
      onConfirm={act(refusing ? 'refuse' : 'confirm')}
      onCancel={refusing ? turn : back}
      problem={problem}
    >
      {why && <FieldError id="proposal-why">{why}</FieldError>}
      {!refusing && (
        <p>
          <Button onPress={turn}>{t('stockChange.proposals.refuse')}</Button>
        </p>
      )}
    </EffectPage>
  )
}

/** The second person: confirms what somebody else counted or found spoilt, or refuses it with a reason. */
const DecideProposal = () => {
  const words = useStaffWords()
  const { t } = words
  const { id = '' } = useParams()
  const { data, error } = useGetList<Proposal>('stock-proposals', {
    filter: { id },
    pagination: { page: 1, perPage: 1 },
    sort: { field: 'number', order: 'DESC' },
  })
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  if (!data) return <Loading />
  const [row] = data
  if (!row) return <p className="k-page">{t('problem.not-found')}</p>
  if (row.status === 'waiting' && !row.mine) return <Decide row={row} />
  return (
    <div className="k-page">
      <h1>{t('stockChange.proposals.named', { number: row.number })}</h1>
      <p>{proposalTold(row, words)}</p>
      <p>{proposedBy(row, words)}</p>
      <p className="k-strong">{t(row.status === 'waiting' ? 'stockChange.proposals.mine' : 'stockChange.proposals.gone')}</p>
      <div>
        <a className="k-button" href="#/stock-proposals">
          {t('action.back')}
        </a>
      </div>
    </div>
  )
}

export default DecideProposal
