import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useParams } from 'react-router-dom'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import { stateTold, unbroken, type Sheet } from '../resources/sheets/sheetWords'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

/** A sheet is given up on a page of its own: its number never comes back. */
const SheetSpoil = () => {
  const words = useStaffWords()
  const { t } = words
  const { id = '' } = useParams()
  const navigate = useNavigate()
  const cache = useQueryClient()
  const { send, problem } = useAct()
  const { data: sheet, error, refetch } = useWhole<Sheet>('blank-sheets', id)
  const title = sheet ? t('blankSheet.spoilTitle', { code: unbroken(sheet.code) }) : t('blankSheet.title')
  usePageTitle(title)
  if (error && !sheet) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  if (!sheet) return <Loading rows={3} />
  const back = () => void navigate('/blank-sheets')
  const spoil = async ({ reason }: { reason: string }) => {
    const done = await send<Sheet>({ method: 'POST', path: `/blank-sheets/${id}/spoil`, body: { reason } })
    await cache.invalidateQueries()
    if (done) back()
  }
  if (sheet.state !== 'printed')
    return (
      <div className="k-page">
        <h1>{sheet.code}</h1>
        <p>{stateTold(sheet, words)}</p>
        <a className="k-button" href="#/blank-sheets">
          {t('blankSheet.all')}
        </a>
      </div>
    )
  return (
    <EffectPage
      title={title}
      danger
      effect={<p>{t('blankSheet.spoilEffect', { code: sheet.code })}</p>}
      confirmLabel={t('blankSheet.spoilButton', { code: sheet.code })}
      reasonLabel={t('blankSheet.spoilReason')}
      onConfirm={spoil}
      onCancel={back}
      problem={problem}
    />
  )
}

export default SheetSpoil
