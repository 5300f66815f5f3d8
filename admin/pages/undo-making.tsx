import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useLot } from '../resources/lots/useLot'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

/** A made lot that was typed wrongly goes back into its parents, with a reason that is kept. */
const UndoMaking = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const navigate = useNavigate()
  const cache = useQueryClient()
  const { lot, problem: unread, again } = useLot(id)
  const { send, problem } = useAct()
  const title = lot ? t('derived.undoTitle', { number: lot.number }) : t('lots.lot')
  usePageTitle(title)
  if (unread && !lot) return <FailureBar problem={unread} doing="load" onTryAgain={again} />
  if (!lot) return <Loading rows={4} />
  const back = () => void navigate(`/lots/${id}/show`)
  const undo = async ({ reason }: { reason: string }) => {
    const done = await send({ method: 'POST', path: `/lots/${id}/undo-making`, body: { reason } })
    await cache.invalidateQueries()
    if (done) back()
  }
  if (lot.making?.mayUndo)
    return (
      <EffectPage
        danger
        title={title}
        effect={<p>{t('derived.undoEffect', { kg: formatKg(lot.making.takenKg) })}</p>}
        confirmLabel={t('derived.undo')}
        reasonLabel={t('derived.undoReason')}
        problem={problem}
        onConfirm={undo}
        onCancel={back}
      />
    )
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <p>{t('derived.undoNot', { number: lot.number })}</p>
      <div>
        <a className="k-button" href={`#/lots/${id}/show`}>
          {t('derived.toLot', { number: lot.number })}
        </a>
      </div>
    </div>
  )
}

export default UndoMaking
