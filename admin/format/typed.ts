export type TypedNumber =
  | { readonly kind: 'empty' }
  | { readonly kind: 'number'; readonly text: string }
  | { readonly kind: 'ask'; readonly choices: readonly [string, string] }
  | { readonly kind: 'not-a-number' }

/**
 * Reads a number as it was typed, never guessing: "1,5" asks whether 1.5 or 15 is meant, "1,250" is 1250 (and is read back
 * by the field), "0,250" asks. The text returned is plain decimal text, fit for the wire.
 */
export const readTyped = (typed: string): TypedNumber => {
  const text = typed
    .trim()
    .replace(/^\u2212/, '-')
    .replace(/[\s\u00a0]/g, '')
  if (text === '') return { kind: 'empty' }
  if (/^-?(\d+\.?\d*|\.\d+)$/.test(text)) return { kind: 'number', text: tidy(text) }
  if (/^-?[1-9]\d{0,2}(,\d{3})+(\.\d+)?$/.test(text)) return { kind: 'number', text: tidy(text.replaceAll(',', '')) }
  if (/^-?\d+,\d+$/.test(text)) return { kind: 'ask', choices: [tidy(text.replace(',', '.')), tidy(text.replace(',', ''))] }
  return { kind: 'not-a-number' }
}

const tidy = (text: string): string => {
  const [, sign = '', whole = '', rest = ''] = /^(-?)(\d*)\.?(\d*)$/.exec(text) ?? []
  return `${sign}${whole.replace(/^0+(?=\d)/, '') || '0'}${rest ? `.${rest}` : ''}`
}
