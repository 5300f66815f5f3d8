import { useState, type ReactNode } from 'react'
import type { Language } from '../i18n/language'
import { useStaffWords } from '../i18n/words'
import { API } from '../providers/http'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Icon } from '../ui/Shape'

const LANGUAGES: readonly Language[] = ['sw', 'en']

/** The language that was chosen for one paper, and how it is asked for; without a choice the mill's own. */
export const usePaperLanguage = () => {
  const [chosen, choose] = useState<Language>()
  return { chosen, choose, query: chosen ? `?language=${chosen}` : '' }
}

type PaperPageProps = {
  readonly title: string
  /** In which it stands on the screen now. */
  readonly language: Language | undefined
  readonly onLanguage: (language: Language) => void
  /** Its PDF, under the API. */
  readonly pdf: string
  readonly back: { readonly href: string; readonly label: string }
  /** Beside which papers it stands. */
  readonly among?: ReactNode
  readonly children: ReactNode
}

/** A printed page on the screen, made from the same model as its PDF; what is not paper is not printed. */
export const PaperPage = ({ title, language, onLanguage, pdf, back, among, children }: PaperPageProps) => {
  const { t } = useStaffWords()
  usePageTitle(title)
  return (
    <div className="k-page">
      <div className="k-stack k-not-printed">
        <h1>{title}</h1>
        {among}
        <div className="k-row" role="group" aria-label={t('load.sheetPage.language')}>
          {LANGUAGES.map((name) => (
            <Button key={name} pressed={name === language} kind={name === language ? 'main' : 'plain'} onPress={() => onLanguage(name)}>
              {t(`language.${name}`)}
            </Button>
          ))}
        </div>
        <div className="k-actions">
          <Button kind="main" icon="print" onPress={() => print()}>
            {t('action.print')}
          </Button>
          <a className="k-button" href={`${API}${pdf}`} target="_blank" rel="noreferrer">
            {t('load.sheetPage.pdf')}
          </a>
          <a className="k-button" href={back.href}>
            <Icon name="back" size={20} /> {back.label}
          </a>
        </div>
      </div>
      {children}
    </div>
  )
}
