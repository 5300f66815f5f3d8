import { useParams } from 'react-router-dom'
import { useStaffWords } from '../i18n/words'
import { useMill } from '../providers/useMill'
import { useSheet } from '../resources/batches/useSheet'
import { asProblem } from '../shell/useAct'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'
import { PaperPage, usePaperLanguage } from './paper-page'
import { SheetPaper } from './sheet-paper'

/** The batch sheet as paper on the screen: the same model that the PDF prints, in the mill's language or another. */
const BatchSheet = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const mill = useMill()
  const { chosen, choose, query } = usePaperLanguage()
  const language = chosen ?? mill?.sheetLanguage
  const { sheet, error, refetch } = useSheet(id, language)
  return (
    <PaperPage
      title={sheet ? t('load.sheetPage.title', { number: sheet.batchNumber }) : t('load.sheet')}
      language={language}
      onLanguage={choose}
      pdf={`/batches/${id}/sheet.pdf${query}`}
      back={{ href: `#/batches/${id}/show`, label: t('load.sheetPage.toLoad') }}
    >
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!sheet && !error && <Loading rows={6} />}
      {sheet && <SheetPaper sheet={sheet} />}
    </PaperPage>
  )
}

export default BatchSheet
