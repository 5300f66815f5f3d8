import type { ReactNode } from 'react'
import { renderToStaticMarkup } from 'react-dom/server'
import { en } from '../../../admin/i18n/en'
import type { Language } from '../../../admin/i18n/language'
import { sw } from '../../../admin/i18n/sw'
import { WordsProvider } from '../../../admin/i18n/words'

/** The markup of a part in one language, as the browser first gets it. */
export const rendered = (part: ReactNode, language: Language = 'en'): string =>
  renderToStaticMarkup(
    <WordsProvider language={language} messages={language === 'en' ? en : sw}>
      {part}
    </WordsProvider>,
  )

/** What a reader sees: tags away, spaces that do not break shown as spaces. */
export const readable = (part: ReactNode, language: Language = 'en'): string =>
  rendered(part, language)
    .replace(/<[^>]+>/g, ' ')
    .replace(/\u00a0/g, ' ')
    .replaceAll('&quot;', '"')
    .replaceAll('&#x27;', "'")
    .replace(/\s+/g, ' ')
    .trim()
