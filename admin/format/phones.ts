export type PhoneReading =
  | { readonly kind: 'empty' }
  | { readonly kind: 'phone'; readonly e164: string }
  | { readonly kind: 'short'; readonly missing: number }
  | { readonly kind: 'long'; readonly excess: number }
  | { readonly kind: 'wrong' }

/** Digits after the country code 254; subscriber numbers begin with 7 or 1 (national numbering plan, from memory). */
const SUBSCRIBER_DIGITS = 9

const subscriber = (digits: string): PhoneReading => {
  if (digits.length > 0 && !/^[71]/.test(digits)) return { kind: 'wrong' }
  if (digits.length < SUBSCRIBER_DIGITS) return { kind: 'short', missing: SUBSCRIBER_DIGITS - digits.length }
  if (digits.length > SUBSCRIBER_DIGITS) return { kind: 'long', excess: digits.length - SUBSCRIBER_DIGITS }
  return { kind: 'phone', e164: `+254${digits}` }
}

/** Another country: E.164 allows at most 15 digits; under 8 cannot be whole. */
const foreign = (digits: string): PhoneReading => {
  if (digits.length < 8) return { kind: 'short', missing: 8 - digits.length }
  if (digits.length > 15) return { kind: 'long', excess: digits.length - 15 }
  return { kind: 'phone', e164: `+${digits}` }
}

/** Reads 07.., 01.., 254.., +254.. and +other, with spaces, dots, dashes and brackets. */
export const readPhone = (typed: string): PhoneReading => {
  const text = typed.replace(/[\s().\-\u2013]/g, '')
  if (text === '') return { kind: 'empty' }
  if (!/^\+?\d+$/.test(text)) return { kind: 'wrong' }
  if (text.startsWith('+254')) return subscriber(text.slice(4))
  if (text.startsWith('+')) return foreign(text.slice(1))
  if (text.startsWith('254')) return subscriber(text.slice(3))
  return text.startsWith('0') ? subscriber(text.slice(1)) : { kind: 'wrong' }
}

/** "+254700000012" is shown as "0700 000 012"; a number of another country stays with its code. */
export const formatPhone = (e164: string): string => {
  const home = /^\+254(\d{3})(\d{3})(\d{3})$/.exec(e164)
  return home ? `0${home[1]} ${home[2]} ${home[3]}` : e164
}
