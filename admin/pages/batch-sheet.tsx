import { useState } from 'react'
import { useParams } from 'react-router-dom'
import type { Language } from '../i18n/language'
import { useStaffWords } from '../i18n/words'
import { API } from '../providers/http'
import { useMill } from '../providers/useMill'
import { useSheet } from '../resources/batches/useSheet'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { FailureBar } from '../ui/Failure'
import { Icon } from '../ui/Shape'
import { Loading } from '../ui/Waiting'
import { SheetPaper } from './sheet-paper'

const LANGUAGES: readonly Language[] = ['sw', 'en']

/** The batch sheet as paper on the screen: the same model that the PDF prints, in the mill's language or another. */
const BatchSheet = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const mill = useMill()
  const [chosen, setChosen] = useState<Language>()
  const language = chosen ?? mill?.sheetLanguage
  const { sheet, error, refetch } = useSheet(id, language)
  const title = sheet ? t('load.sheetPage.title', { number: sheet.batchNumber }) : t('load.sheet')
  usePageTitle(title)
  return (
    <div className="k-page">
      <div className="k-stack k-not-printed">
        <h1>{title}</h1>
        <div className="k-row" role="group" aria-label={t('load.sheetPage.language')}>
          {LANGUAGES.map((name) => (
            <Button key={name} pressed={name === language} kind={name === language ? 'main' : 'plain'} onPress={() => setChosen(name)}>
              {t(`language.${name}`)}
            </Button>
          ))}
        </div>
        <div className="k-actions">
          <Button kind="main" icon="print" onPress={() => print()}>
            {t('action.print')}
          </Button>
          <a
            className="k-button"
            href={`${API}/batches/${id}/sheet.pdf${language ? `?language=${language}` : ''}`}
            target="_blank"
            rel="noreferrer"
          >
            {t('load.sheetPage.pdf')}
          </a>
          <a className="k-button" href={`#/batches/${id}/show`}>
            <Icon name="back" size={20} /> {t('load.sheetPage.toLoad')}
          </a>
        </div>
      </div>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!sheet && !error && <Loading rows={6} />}
      {sheet && <SheetPaper sheet={sheet} />}
    </div>
  )
}

export default BatchSheet
