import { useLocaleState } from 'react-admin'
import type { ReactNode } from 'react'
import { chooseLanguage, keepLanguage, languageAfterSignIn, type Language } from '../i18n/language'
import { WordsProvider } from '../i18n/words'
import { currentUser, saveLanguage } from '../providers/session'
import { WORDS } from './i18nProvider'

/** The language of the console, and the way to change it: kept on the device and with the person. */
export const useConsoleLanguage = (): readonly [Language, (language: Language) => void] => {
  const [locale, setLocale] = useLocaleState()
  const change = (language: Language) => {
    chooseLanguage(language)
    setLocale(language)
    // the screen has changed already; a lost network only means that the person's other devices do not know yet
    saveLanguage(language).catch(() => undefined)
  }
  return [locale === 'en' ? 'en' : 'sw', change]
}

/** To be called when somebody has signed in: their own language, unless they chose another on the sign-in page. */
export const useTakeLanguage = (): (() => void) => {
  const [, setLocale] = useLocaleState()
  return () => {
    const user = currentUser()
    if (!user) return
    const language = languageAfterSignIn(user.language)
    keepLanguage(language)
    setLocale(language)
    saveLanguage(language).catch(() => undefined)
  }
}

export const WithWords = ({ children }: { children: ReactNode }) => {
  const [language] = useConsoleLanguage()
  return (
    <WordsProvider language={language} messages={WORDS[language]}>
      {children}
    </WordsProvider>
  )
}
