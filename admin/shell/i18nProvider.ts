import polyglotI18nProvider from 'ra-i18n-polyglot'
import englishOfReactAdmin from 'ra-language-english'
import { en } from '../i18n/en'
import { startLanguage, type Language } from '../i18n/language'
import { sw } from '../i18n/sw'
import { raSwahili } from '../i18n/sw/react-admin'

const MESSAGES = { en: { ...en, ...englishOfReactAdmin }, sw: { ...sw, ...raSwahili } } as const
export const WORDS = { en, sw } as const

const asLanguage = (locale: string): Language => (locale === 'en' ? 'en' : 'sw')

export const i18nProvider = polyglotI18nProvider((locale) => MESSAGES[asLanguage(locale)], startLanguage(), [
  { locale: 'en', name: 'English' },
  { locale: 'sw', name: 'Kiswahili' },
])
