import { THEME_NAMES, type ThemeName } from './tokens'
import { tokensCss } from './css'

const KEY = 'kinu.theme'

const isTheme = (text: string | null): text is ThemeName => THEME_NAMES.some((name) => name === text)

/** A phone may refuse storage (private window, full disk): the choice then lasts until the page is left. */
const stored = (): ThemeName | null => {
  try {
    const text = localStorage.getItem(KEY)
    return isTheme(text) ? text : null
  } catch {
    return null
  }
}

const SUNLIGHT_ROLES: ReadonlySet<string> = new Set(['mixer-operator', 'store-keeper'])

/** The theme a device starts in: what it was left in, else Sunlight for those who work in the yard, else what the device prefers. */
export const startTheme = (roles: readonly string[] = []): ThemeName => {
  const left = stored()
  if (left) return left
  if (roles.some((role) => SUNLIGHT_ROLES.has(role))) return 'sunlight'
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light'
}

let current: ThemeName = 'light'
const listeners = new Set<() => void>()

export const currentTheme = (): ThemeName => current

export const onThemeChange = (listener: () => void): (() => void) => {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

export const showTheme = (theme: ThemeName): void => {
  current = theme
  document.documentElement.dataset['theme'] = theme
  listeners.forEach((listener) => listener())
}

/** One tap goes round: light, dark, Sunlight. */
export const nextTheme = (theme: ThemeName): ThemeName => THEME_NAMES[(THEME_NAMES.indexOf(theme) + 1) % THEME_NAMES.length] ?? 'light'

export const keepTheme = (theme: ThemeName): void => {
  showTheme(theme)
  try {
    localStorage.setItem(KEY, theme)
  } catch {
    // see stored(): shown, not kept
  }
}

/** Once at start, before anything is drawn. */
export const installTheme = (roles: readonly string[] = []): void => {
  const sheet = document.createElement('style')
  sheet.textContent = tokensCss()
  document.head.prepend(sheet)
  showTheme(startTheme(roles))
}
