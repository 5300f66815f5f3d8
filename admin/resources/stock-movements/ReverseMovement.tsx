import { useGetList } from 'react-admin'
import { useNavigate, useParams } from 'react-router-dom'
import { useStaffWords } from '../../i18n/words'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { EffectPage } from '../../ui/EffectPage'
import { FailureBar, FieldError } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { MovementEntries, MovementHead, type Movement } from './movementWords'

const Reverse = ({ movement }: { movement: Movement }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const { send, problem, errorAt } = useAct()
  const back = () => void navigate(-1)
  const reverse = async ({ reason }: { reason: string }) => {
    if (await send({ method: 'POST', path: `/stock-movements/${movement.id}/reverse`, body: { reason } })) back()
  }
  const why = errorAt('id')
  return (
    <EffectPage
      title={t('stockChange.reverse.title')}
      danger
      effect={
        <>
          <p>
            <MovementHead movement={movement} />
          </p>
          <MovementEntries movement={movement} />
          <p>{t('stockChange.reverse.effect')}</p>
          <p>{t('stockChange.reverse.moment')}</p>
        </>
      }
      confirmLabel={t('stockChange.reverse.button')}
      reasonLabel={t('stockChange.reverse.reason')}
      onConfirm={reverse}
      onCancel={back}
      problem={problem}
    >
      {why && <FieldError id="reverse-why">{why}</FieldError>}
    </EffectPage>
  )
}

/** A movement that was typed wrongly is mirrored with a reason; both stay in the books. */
const ReverseMovement = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  usePageTitle(t('stockChange.reverse.title'))
  const { data, error } = useGetList<Movement>('stock-movements', {
    filter: { id },
    pagination: { page: 1, perPage: 1 },
    sort: { field: 'enteredAt', order: 'DESC' },
  })
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  if (!data) return <Loading />
  const [movement] = data
  if (!movement) return <p className="k-page">{t('problem.not-found')}</p>
  if (movement.mayReverse) return <Reverse movement={movement} />
  return (
    <div className="k-page">
      <h1>{t('stockChange.reverse.title')}</h1>
      <p>
        <MovementHead movement={movement} />
      </p>
      <p className="k-strong">{t('stockChange.reverse.not')}</p>
    </div>
  )
}

export default ReverseMovement
