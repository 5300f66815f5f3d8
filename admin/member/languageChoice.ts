import { createContext, useContext } from 'react'
import type { Language } from '../i18n/language'

const LanguageChoice = createContext<(language: Language) => void>(() => undefined)

export const LanguageChoiceProvider = LanguageChoice
export const useLanguageChoice = (): ((language: Language) => void) => useContext(LanguageChoice)
