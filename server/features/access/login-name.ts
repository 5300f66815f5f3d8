/** How a login is kept: e-mail addresses in lower case, phone numbers in the international form. */
export const normaliseLogin = (login: string): { readonly email: string } | { readonly phone: string } => {
  const trimmed = login.trim()
  return trimmed.includes('@') ? { email: trimmed.toLowerCase() } : { phone: normalisePhone(trimmed) }
}

// The demo's country; a number without a country code is one of the mill's neighbours (ITU-T E.164, country code 254).
const HOME_PREFIX = '+254'

/** `0712 345 678`, `254712345678` and `+254-712-345678` are one number: `+254712345678`. */
export const normalisePhone = (text: string): string => {
  const kept = text.replace(/[^\d+]/g, '')
  if (kept.startsWith('+')) return kept
  if (kept.startsWith('00')) return `+${kept.slice(2)}`
  if (kept.startsWith('0')) return `${HOME_PREFIX}${kept.slice(1)}`
  return kept.startsWith(HOME_PREFIX.slice(1)) ? `+${kept}` : `${HOME_PREFIX}${kept}`
}
