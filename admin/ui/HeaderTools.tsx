import { useSharedWords } from '../i18n/words'
import { LANGUAGES, type Language } from '../i18n/language'
import { keepTheme, nextTheme } from '../theme/device'
import { useThemeName } from '../theme/useTheme'
import { Icon } from './Shape'

/** "English / Kiswahili", always in the header, each in its own language. */
export const LanguageSwitch = ({ onChange }: { onChange: (language: Language) => void }) => {
  const { t, language } = useSharedWords()
  return (
    <div className="k-language" role="group" aria-label={t('language.label')}>
      {LANGUAGES.map((code) => (
        <button key={code} type="button" lang={code} aria-pressed={code === language} onClick={() => onChange(code)}>
          {t(`language.${code}`)}
        </button>
      ))}
    </div>
  )
}

/** One tap: light, dark, Sunlight; kept on this device. */
export const ThemeSwitch = () => {
  const { t } = useSharedWords()
  const theme = useThemeName()
  const next = nextTheme(theme)
  return (
    <button
      type="button"
      className="k-tool"
      aria-label={t('theme.change', { now: t(`theme.${theme}`), next: t(`theme.${next}`) })}
      onClick={() => keepTheme(next)}
    >
      <Icon name={theme} size={20} /> <span>{t(`theme.${theme}`)}</span>
    </button>
  )
}

/** Who is signed in, and the way out behind it. */
export const PersonMenu = ({ name, onSignOut }: { name: string; onSignOut: () => void }) => {
  const { t } = useSharedWords()
  return (
    <details className="k-person-menu">
      <summary className="k-tool">
        <Icon name="person" size={20} /> <span className="k-person">{name}</span>
      </summary>
      <div className="k-person-sheet">
        <p className="k-caption">{t('sign.person', { name })}</p>
        <button type="button" className="k-button" onClick={onSignOut}>
          <Icon name="out" size={20} /> <span>{t('sign.out')}</span>
        </button>
      </div>
    </details>
  )
}
