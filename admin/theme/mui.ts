import { createTheme, type Theme } from '@mui/material/styles'
import type { RaThemeOptions } from 'react-admin'
import { FONT_HEADING, FONT_TEXT, TOKENS, TYPE_SCALE, type ThemeName, type TypeStep } from './tokens'

const heading = (step: TypeStep) => ({
  fontFamily: FONT_HEADING,
  fontSize: `var(--type-${step})`,
  fontWeight: 'var(--weight-heading)',
  lineHeight: 1.25,
  letterSpacing: 0,
})
const text = (step: TypeStep) => ({ fontSize: `var(--type-${step})`, fontWeight: 'var(--weight-text)', lineHeight: 1.45, letterSpacing: 0 })

const FOCUS = { outline: '3px solid var(--focus)', outlineOffset: 2 }

/** Material UI in the mill's own tokens: flat, bordered, no shadow, no ripple, visible focus. */
export const muiTheme = (name: ThemeName): RaThemeOptions => {
  const token = TOKENS[name]
  const flat = createTheme()
  return {
    palette: {
      mode: name === 'dark' ? 'dark' : 'light',
      primary: { main: token.lake, dark: token.lakePressed, contrastText: token.onLake },
      secondary: { main: token.lake, dark: token.lakePressed, contrastText: token.onLake },
      success: { main: token.pass, contrastText: token.passGround },
      warning: { main: token.warn, contrastText: token.warnGround },
      error: { main: token.block, contrastText: token.blockGround },
      info: { main: token.unknown, contrastText: token.unknownGround },
      background: { default: token.ground, paper: token.card },
      text: { primary: token.ink, secondary: token.softInk, disabled: token.softInk },
      divider: token.line,
    },
    shape: { borderRadius: 6 },
    spacing: 4,
    shadows: flat.shadows.map(() => 'none') as Theme['shadows'],
    transitions: { create: () => 'none' },
    typography: {
      fontFamily: FONT_TEXT,
      fontSize: TYPE_SCALE.text[1],
      h1: heading('page'),
      h2: heading('heading'),
      h3: heading('strong'),
      h4: heading('page'),
      h5: heading('heading'),
      h6: heading('strong'),
      body1: text('text'),
      body2: text('text'),
      subtitle1: text('strong'),
      subtitle2: text('text'),
      caption: text('caption'),
      overline: { ...text('caption'), textTransform: 'none' },
      button: { ...text('text'), fontWeight: 'var(--weight-strong)', textTransform: 'none' },
    },
    components: {
      MuiButtonBase: { defaultProps: { disableRipple: true }, styleOverrides: { root: { '&:focus-visible': FOCUS } } },
      MuiButton: {
        defaultProps: { disableElevation: true },
        styleOverrides: {
          root: { minHeight: 48, paddingInline: 16 },
          sizeSmall: { minHeight: 44 },
          outlined: { borderColor: token.edge, borderWidth: 'var(--border)' },
        },
      },
      MuiIconButton: { styleOverrides: { root: { minWidth: 44, minHeight: 44 } } },
      MuiPaper: { defaultProps: { elevation: 0 }, styleOverrides: { root: { backgroundImage: 'none' } } },
      MuiCard: {
        defaultProps: { variant: 'outlined' },
        styleOverrides: { root: { borderColor: token.line, borderWidth: 'var(--border)' } },
      },
      MuiOutlinedInput: { styleOverrides: { notchedOutline: { borderColor: token.edge, borderWidth: 'var(--border)' } } },
      MuiTextField: { defaultProps: { variant: 'outlined' } },
      MuiFormControl: { defaultProps: { variant: 'outlined' } },
      MuiInputBase: { styleOverrides: { root: { minHeight: 48 } } },
      MuiTableCell: {
        styleOverrides: {
          root: { borderColor: token.line, fontVariantNumeric: 'tabular-nums', fontSize: 'var(--type-text)', paddingBlock: 8 },
          head: { fontWeight: 'var(--weight-strong)', color: token.softInk },
        },
      },
      MuiLink: { defaultProps: { underline: 'always' } },
    },
  }
}
