import { useSyncExternalStore, type ReactNode } from 'react'
import { chooseLanguage, keepLanguage, languageAfterSignIn, type Language } from '../i18n/language'
import { WordsProvider } from '../i18n/words'
import { currentUser, saveLanguage } from '../providers/session'
import { onLanguageChange, speak, spokenLanguage, WORDS } from './i18nProvider'

const changeLanguage = (language: Language): void => {
  chooseLanguage(language)
  speak(language)
  // the screen has changed already; a lost network only means that the person's other devices do not know yet
  saveLanguage(language).catch(() => undefined)
}

/** The language of the console, and the way to change it: kept on the device and with the person. */
export const useConsoleLanguage = (): readonly [Language, (language: Language) => void] => [
  useSyncExternalStore(onLanguageChange, spokenLanguage),
  changeLanguage,
]

/** To be called when somebody has signed in: their own language, unless they chose another on the sign-in page. */
export const takeLanguage = (): void => {
  const user = currentUser()
  if (!user) return
  const language = languageAfterSignIn(user.language)
  keepLanguage(language)
  speak(language)
  saveLanguage(language).catch(() => undefined)
}

export const WithWords = ({ children }: { children: ReactNode }) => {
  const [language] = useConsoleLanguage()
  return (
    <WordsProvider language={language} messages={WORDS[language]}>
      {children}
    </WordsProvider>
  )
}
