import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

const KEYS: Readonly<Record<string, StaffKey>> = {
  any: 'rules.anyCountry',
  EU: 'finding.country.EU',
  US: 'finding.country.US',
  Kenya: 'finding.country.Kenya',
  'East Africa': 'finding.country.EastAfrica',
  India: 'finding.country.India',
  'Serbia and Montenegro 2003': 'finding.country.Serbia',
  Tanzania: 'finding.country.Tanzania',
}

export const JURISDICTIONS = Object.keys(KEYS)

export const countryName = (jurisdiction: string, t: Translate<StaffKey>): string => {
  const key = KEYS[jurisdiction]
  return key ? t(key) : jurisdiction
}
