export const LANGUAGES = ['en', 'sw'] as const
export type Language = (typeof LANGUAGES)[number]

const KEY = 'kinu.language'

/** What the device was left in, else what this entry starts in, else what the device speaks, else Swahili. */
export const startLanguage = (entryStartsIn?: Language): Language => {
  try {
    const left = localStorage.getItem(KEY)
    if (left === 'en' || left === 'sw') return left
  } catch {
    // no storage in this browser: go by what it speaks
  }
  if (entryStartsIn) return entryStartsIn
  return navigator.language.startsWith('en') ? 'en' : 'sw'
}

export const keepLanguage = (language: Language): void => {
  document.documentElement.lang = language
  try {
    localStorage.setItem(KEY, language)
  } catch {
    // shown, not kept
  }
}

let chosenHere = false

/** A person pressed the switch: this counts more than what was stored with them before. */
export const chooseLanguage = (language: Language): void => {
  chosenHere = true
  keepLanguage(language)
}

/** After signing in: what was just chosen on this device, else the person's own language. */
export const languageAfterSignIn = (personal: Language): Language => (chosenHere ? startLanguage() : personal)
