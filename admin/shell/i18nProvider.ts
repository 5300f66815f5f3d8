import polyglotI18nProvider from 'ra-i18n-polyglot'
import englishOfReactAdmin from 'ra-language-english'
import { en } from '../i18n/en'
import { startLanguage, type Language } from '../i18n/language'
import { sw } from '../i18n/sw'
import { raSwahili } from '../i18n/sw/react-admin'

const MESSAGES = { en: { ...en, ...englishOfReactAdmin }, sw: { ...sw, ...raSwahili } } as const
export const WORDS = { en, sw } as const

const asLanguage = (locale: string): Language => (locale === 'en' ? 'en' : 'sw')

const ofReactAdmin = polyglotI18nProvider((locale) => MESSAGES[asLanguage(locale)], startLanguage(), [
  { locale: 'en', name: 'English' },
  { locale: 'sw', name: 'Kiswahili' },
])

/**
 * When its own locale changes, react-admin draws the whole page anew, and what is typed and not saved goes with it. So it is never told of
 * a change: it asks here for each text, and gets it in the language that is spoken.
 */
export const i18nProvider = { ...ofReactAdmin, changeLocale: () => Promise.resolve() }

let spoken = startLanguage()
const listeners = new Set<() => void>()

export const spokenLanguage = (): Language => spoken
export const onLanguageChange = (listener: () => void): (() => void) => {
  listeners.add(listener)
  return () => listeners.delete(listener)
}
/** From now on everything is told in this language; pages stay as they are. */
export const speak = (language: Language): void => {
  spoken = language
  void ofReactAdmin.changeLocale(language)
  listeners.forEach((listener) => listener())
}
