import { FONT_HEADING, FONT_TEXT, SPACE_PX, THEME_NAMES, TOKENS, TYPE_SCALE, type ThemeName } from './tokens'

const kebab = (name: string): string => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)

const colours = (theme: ThemeName): string =>
  Object.entries(TOKENS[theme])
    .map(([name, value]) => `--${kebab(name)}:${value}`)
    .join(';')

const STEPS_UP = {
  caption: 'text',
  text: 'strong',
  strong: 'heading',
  heading: 'page',
  page: 'page',
  figure: 'figure',
  weight: 'weight',
} as const

const sizes = (column: 0 | 1, stepUp: boolean): string =>
  (Object.keys(TYPE_SCALE) as (keyof typeof TYPE_SCALE)[])
    .map((step) => `--type-${step}:${TYPE_SCALE[stepUp ? STEPS_UP[step] : step][column] / 16}rem`)
    .join(';')

const spaces = SPACE_PX.map((px, index) => `--space-${index + 1}:${px / 16}rem`).join(';')

const MIXED: Readonly<Record<ThemeName, string>> = {
  light: 'color-scheme:light;--border:1px;--weight-text:400;--weight-strong:600;--weight-heading:700',
  dark: 'color-scheme:dark;--border:1px;--weight-text:400;--weight-strong:600;--weight-heading:700',
  sunlight: 'color-scheme:light;--border:2px;--weight-text:600;--weight-strong:700;--weight-heading:700',
}

const themeRule = (theme: ThemeName): string => {
  const stepUp = theme === 'sunlight'
  return `:root[data-theme=${theme}]{${colours(theme)};${MIXED[theme]};${sizes(0, stepUp)}}
@media(min-width:900px){:root[data-theme=${theme}]{${sizes(1, stepUp)}}}`
}

/** The tokens of all three themes as CSS variables; `data-theme` on the root element chooses. Paper is always black on white. */
export const tokensCss = (): string =>
  [
    `:root{--font-heading:${FONT_HEADING};--font-text:${FONT_TEXT};--corner:6px;--target:3rem;--target-main:3.5rem;${spaces}}`,
    ...THEME_NAMES.map(themeRule),
    `@media print{:root[data-theme]{${colours('sunlight')};${MIXED.sunlight};--weight-text:400;--border:0.5pt}}`,
  ].join('\n')
