import { useSyncExternalStore } from 'react'
import { currentTheme, onThemeChange } from './device'
import type { ThemeName } from './tokens'

export const useThemeName = (): ThemeName => useSyncExternalStore(onThemeChange, currentTheme, () => 'light')
