import type { FindingView } from '#contract/findings'
import { sourceTitle } from '#contract/source-titles'
import { formatDate } from '../format/dates'
import { formatFigure, withUnit } from '../format/numbers'
import type { Language } from '../i18n/language'
import type { Translate } from '../i18n/translate'
import type { SharedKey } from '../i18n/words'
import type { Finding } from './RefusalCard'

type Words = { readonly t: Translate<SharedKey>; readonly language: Language }

/** Names in the safety tables that have a word of their own; the others are names of substances, alike in every language. */
const ITEMS: Readonly<Record<string, SharedKey>> = {
  Ca: 'finding.item.calcium',
  'Ca/avP': 'finding.item.calciumToPhosphorus',
  Na: 'finding.item.sodium',
  NaCl: 'finding.item.salt',
  salt: 'finding.item.salt',
  'salt in dried small fish or fish meal': 'finding.item.salt',
  'aflatoxin B1': 'finding.item.aflatoxinB1',
  'total aflatoxins': 'finding.item.aflatoxins',
  moisture: 'finding.item.moisture',
  'acid-insoluble ash (sand) in dried small fish': 'finding.item.sand',
  'methionine total': 'finding.item.methionine',
  'urea or other non-protein nitrogen': 'finding.item.urea',
  'free gossypol': 'finding.item.gossypol',
  'cottonseed cake': 'finding.item.cottonseed',
  'cottonseed cake (undecorticated or expeller)': 'finding.item.cottonseed',
  'raw (unheated) soya bean': 'finding.item.rawSoya',
  'urease activity (pH rise) of soya meal or roasted soya': 'finding.item.soyaHeat',
  'fish meal (incl. dried small fish)': 'finding.item.fishMeal',
  'fish oil': 'finding.item.fishOil',
  'ruminant meat and bone meal': 'finding.item.meatAndBone',
  'poultry by-product or feather meal in poultry feed': 'finding.item.poultryMeal',
  'Salmonella in 25 g': 'finding.item.salmonella',
  'peroxide value of added fat': 'finding.item.rancid',
  'rye ergot': 'finding.item.ergot',
  'L-lysine HCl added': 'finding.item.lysine',
  'vitamin-mineral premix': 'finding.item.premix',
}

const NEXT: Readonly<Record<string, SharedKey>> = {
  calcium: 'finding.next.calcium',
  'calcium:phosphorus': 'finding.next.calcium',
  salt: 'finding.next.salt',
  aflatoxin: 'finding.next.aflatoxin',
  mycotoxin: 'finding.next.aflatoxin',
  moisture: 'finding.next.moisture',
  adulteration: 'finding.next.adulteration',
  coccidiostat: 'finding.next.medicine',
  'coccidiostat dose': 'finding.next.medicine',
  medication: 'finding.next.medicine',
  'carry-over': 'finding.next.carryOver',
  vitamins: 'finding.next.vitamins',
  lot: 'finding.next.lot',
  'lot-hold': 'finding.next.lotHold',
  bags: 'finding.next.bags',
  flock: 'finding.next.flock',
  'flock change': 'finding.next.flock',
  'look-smell': 'finding.next.lookSmell',
  'look-colour': 'finding.next.lookColour',
  'look-insects': 'finding.next.lookInsects',
  'look-wet-bags': 'finding.next.lookWetBags',
  'look-torn-bags': 'finding.next.lookTornBags',
  'look-foreign-matter': 'finding.next.lookForeignMatter',
  'look-label': 'finding.next.lookLabel',
  'look-batch-number': 'finding.next.lookBatchNumber',
}

const COUNTRIES: Readonly<Record<string, SharedKey>> = {
  EU: 'finding.country.EU',
  US: 'finding.country.US',
  Kenya: 'finding.country.Kenya',
  'East Africa': 'finding.country.EastAfrica',
  India: 'finding.country.India',
  'Serbia and Montenegro 2003': 'finding.country.Serbia',
  Tanzania: 'finding.country.Tanzania',
}

/** A text that exists, else null: codes may be added to the mill before they have words here. */
const known = (t: Translate<SharedKey>, key: string, facts = {}): string | null => {
  const words = t(key as SharedKey, facts)
  return words === key ? null : words
}

const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

const MOULD_POISONS: ReadonlySet<string> = new Set(['aflatoxin', 'mycotoxin'])

/** Poisons in whole micrograms, however their rule states them; everything else to two decimals without idle zeros. */
const figureOf =
  ({ topic }: FindingView) =>
  (value: number, unit: string): string =>
    unit === 'mg/kg' && MOULD_POISONS.has(topic) ? figure(value * 1000, 'ug/kg') : figure(value, unit)

const figure = (value: number, unit: string): string => {
  const places = unit === 'ug/kg' || Number.isInteger(value) ? 0 : 2
  return withUnit(formatFigure(value, places), unit)
}

const itemOf = ({ what }: FindingView, { t }: Words): string => {
  const item = what.facts['item'] ?? what.facts['active']
  if (typeof item !== 'string') return t('finding.dose')
  const key = ITEMS[item]
  // what the laboratory measures goes by its nutrient; members' pages do not carry those words and show the name
  return key ? t(key) : (known(t, `nutrient.${item}`) ?? item)
}

const appliesTo = ({ appliesTo: to }: FindingView, { t }: Words): string =>
  known(t, `stage.${to}`) ?? (/^[a-z_]+$/.test(to) ? to : t('finding.lot', { lot: to }))

const SIDES = { min: 'finding.foundMin', max: 'finding.foundMax', range: 'finding.foundRange', equal: 'finding.foundEqual' } as const

const reasonOf = (finding: FindingView, words: Words): string | null => {
  const { found, limit } = finding
  const shownFigure = figureOf(finding)
  const { t } = words
  if (!found) return null
  const item = upper(itemOf(finding, words))
  const shown = found.knownBy === 'unknown' ? t('known.unknown') : shownFigure(found.value, found.unit)
  const how = found.knownBy === 'unknown' ? '' : ` (${t(`known.${found.knownBy}`)})`
  if (!limit) return `${item}: ${shown}${how}`
  const facts = {
    item,
    found: shown,
    limit: shownFigure(limit.value, limit.unit),
    high: shownFigure(limit.high ?? limit.value, limit.unit),
  }
  return `${t(SIDES[limit.side], facts)}${how}`
}

const factsFor = (finding: FindingView, words: Words): Record<string, string | number> => {
  const facts: Record<string, string | number> = { item: itemOf(finding, words) }
  for (const [name, value] of Object.entries(finding.what.facts)) {
    if (name === 'item' || (typeof value !== 'string' && typeof value !== 'number')) continue
    facts[name] = typeof value === 'string' && /^\d{4}-\d{2}-\d{2}$/.test(value) ? formatDate(value, words.language) : value
  }
  return facts
}

const TEST_MISSING: ReadonlySet<string> = new Set([
  'required-test-missing',
  'mill-test-missing',
  'retest-missing',
  'not-tested',
  'not-known',
])

const nextStep = (finding: FindingView, { t }: Words): string => {
  if (TEST_MISSING.has(finding.what.code)) return t('finding.next.test')
  return t(NEXT[finding.topic] ?? 'finding.next.other')
}

const OWN_SOURCES: Readonly<Record<string, SharedKey>> = { 'mill-rule': 'finding.millRule', practice: 'finding.practice' }
const sourceOf = ({ source: { key } }: FindingView, { t, language }: Words): string => {
  const own = OWN_SOURCES[key]
  return own ? t(own) : sourceTitle(key, language)
}

/** A finding of the mill as the card shows it: the sentence of its code, found and limit, source, and what to do next. */
export const findingWords = (finding: FindingView, words: Words): Finding => {
  const { t } = words
  const reason = reasonOf(finding, words)
  const country = COUNTRIES[finding.source.jurisdiction]
  return {
    verdict: finding.severity,
    what: upper(known(t, `finding.code.${finding.what.code}`, factsFor(finding, words)) ?? t('finding.code.other')).replace(/:?\s*$/, ''),
    reasons: reason === null ? [] : [reason],
    rule: {
      id: finding.ruleId,
      source: sourceOf(finding, words),
      read: finding.source.read,
      appliesTo: appliesTo(finding, words),
      country: country ? t(country) : undefined,
    },
    next: finding.severity === 'pass' ? undefined : nextStep(finding, words),
  }
}
