import { useLocaleState } from 'react-admin'
import type { ReactNode } from 'react'
import { keepLanguage, type Language } from '../i18n/language'
import { WordsProvider } from '../i18n/words'
import { saveLanguage } from '../providers/session'
import { WORDS } from './i18nProvider'

/** The language of the console, and the way to change it: kept on the device and with the person. */
export const useConsoleLanguage = (): readonly [Language, (language: Language) => void] => {
  const [locale, setLocale] = useLocaleState()
  const change = (language: Language) => {
    keepLanguage(language)
    setLocale(language)
    // the screen has changed already; a lost network only means that the person's other devices do not know yet
    saveLanguage(language).catch(() => undefined)
  }
  return [locale === 'en' ? 'en' : 'sw', change]
}

export const WithWords = ({ children }: { children: ReactNode }) => {
  const [language] = useConsoleLanguage()
  return (
    <WordsProvider language={language} messages={WORDS[language]}>
      {children}
    </WordsProvider>
  )
}
