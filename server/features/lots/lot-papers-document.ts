import type { LotPapersView } from '#contract/lots'
import { STAGE_WORDS } from '#contract/stage-words'
import { isWetGrain } from '#core/receiving/keeping'
import { mustDeclareMedication } from '#core/safety/lot-duties'
import { dayAt, plainDate } from '#platform/mill-day'
import { writtenAt, writtenDay } from '#platform/documents/written-date'
import { LOT_PAPERS_WORDS, type LotPapersWords } from './lot-papers-words.js'
import { looksOf, medicationOf, statusOf, type LotRow } from './lot-view.js'
import { samplePlanOf } from './sample-plan.js'

export type PaperFacts = {
  readonly row: LotRow
  /** Numbers of the lots that a made one came from. */
  readonly madeOf: readonly number[]
  readonly language: 'en' | 'sw'
  readonly mill: { readonly name: string; readonly phone: string; readonly timeZone: string }
  readonly printedAt: Date
  readonly printedBy: string
}

/** Kilograms as stacks and stores say them, to a tenth (halves up, as on the screen); figure and unit stay together. */
const kgText = (kg: number): string =>
  `${(Math.round(Math.round(kg * 1000) / 100) / 10).toFixed(1).replace(/\B(?=(\d{3})+(?!\d))/g, ',')}\u00a0kg`
const pctText = (pct: number): string => `${pct}\u00a0%`

const SHAPE = { 'on-hold': 'hold', released: 'pass', rejected: 'block', 'used-up': 'block' } as const

const medicineWarning = (row: LotRow, words: LotPapersWords): string[] => {
  const medicine = medicationOf(row)
  if (medicine !== null) return [words.warn.medicine(medicine.active, pctText(medicine.strengthPct))]
  return mustDeclareMedication(row.ingredient) && !row.medicationDeclared ? [words.warn.unread] : []
}

/** More feeds than these would fill the card; who uses the lot looks them up. */
const MOST_FEEDS_NAMED = 5

const isLimited = ({ status, releasedFor }: LotRow): boolean => status === 'released' && releasedFor.length > 0

const feedsTold = ({ releasedFor }: LotRow, language: 'en' | 'sw', { terms }: LotPapersWords): string => {
  const names: Readonly<Record<string, string>> = STAGE_WORDS[language]
  return releasedFor.length > MOST_FEEDS_NAMED
    ? terms.onlyForMany(releasedFor.length)
    : terms.onlyFor(releasedFor.map((stage) => names[stage] ?? stage).join(', '))
}

type Days = { readonly today: string; readonly language: 'en' | 'sw' }
const isPastRetest = ({ status, retestOn }: LotRow, today: string): boolean =>
  status === 'released' && retestOn !== null && plainDate(retestOn) < today

/** Under which terms the lot was released, or until when it is held: whoever stands at the stack has nothing but the card. */
const termsOf = (row: LotRow, { today, language }: Days, words: LotPapersWords): string[] => {
  const { status, retestOn, holdUntil, statusReason } = row
  const held = status === 'on-hold' && holdUntil !== null && plainDate(holdUntil) > today
  return [
    ...(held ? [words.terms.held(writtenDay(plainDate(holdUntil), language), statusReason)] : []),
    ...(isLimited(row) ? [feedsTold(row, language, words)] : []),
    ...(status === 'released' && retestOn !== null ? [words.terms.retest(writtenDay(plainDate(retestOn), language))] : []),
  ]
}

const barOf = (row: LotRow, today: string, words: LotPapersWords): string => {
  const status = statusOf(row.status)
  if (status !== 'released') return words.bar[status]
  if (isPastRetest(row, today)) return words.retestBar
  return isLimited(row) ? words.limitedBar : ''
}

const warningsOf = ({ row, mill, printedAt, language }: PaperFacts, words: LotPapersWords): string[] => {
  const { ingredientId, ingredient, intakeMoisturePct: moisturePct, expiresOn } = row
  const today = dayAt(printedAt, mill.timeZone)
  const expired = expiresOn !== null && plainDate(expiresOn) < today
  const wet = isWetGrain({ ingredientId, category: ingredient.category, moisturePct })
  return [
    ...termsOf(row, { today, language }, words),
    ...(expired ? [words.warn.expired] : []),
    ...medicineWarning(row, words),
    ...(wet && moisturePct !== null ? [words.warn.wet(pctText(moisturePct))] : []),
    ...looksOf(row)
      .filter(({ good }) => !good)
      .map(({ point, note }) => (note === '' ? words.look[point] : `${words.look[point]}: ${note}`)),
  ]
}

const bagsText = ({ bags, netKg }: LotRow, words: LotPapersWords): string =>
  bags === null ? words.notCounted : words.bags(bags, kgText(netKg.toNumber() / bags))

const cardRows = ({ row, madeOf, mill, language }: PaperFacts, words: LotPapersWords): LotPapersView['card']['rows'] => [
  { name: words.row.supplier, value: madeOf.length === 0 ? row.supplier.name : words.madeOf(madeOf) },
  { name: words.row.bags, value: bagsText(row, words) },
  { name: words.row.net, value: kgText(row.netKg.toNumber()) },
  { name: words.row.place, value: row.storagePlace.trim() === '' ? words.noPlace : row.storagePlace },
  { name: row.madeBy === null ? words.row.received : words.row.made, value: writtenDay(dayAt(row.receivedAt, mill.timeZone), language) },
  { name: words.row.expires, value: row.expiresOn === null ? words.noDate : writtenDay(plainDate(row.expiresOn), language) },
]

const howToSample = (row: LotRow, words: LotPapersWords): string => {
  const { increments, gramsEach, bagsToOpen, liquid, aggregateKg, forMould } = samplePlanOf(row)
  const from = bagsToOpen === null ? (liquid ? words.liquid : words.loose) : words.fromBags(bagsToOpen)
  return `${words.how(increments, gramsEach)} ${from}; ${words.mix(aggregateKg)}${forMould ? ` (${words.mould})` : ''}.`
}

/** Stack card and sample label of a lot as a model in one language: the PDF and the print view both show exactly this. */
export const lotPapers = (facts: PaperFacts): LotPapersView => {
  const { row, language, mill, printedAt, printedBy } = facts
  const words = LOT_PAPERS_WORDS[language]
  const status = statusOf(row.status)
  const today = dayAt(printedAt, mill.timeZone)
  const rows = cardRows(facts, words)
  return {
    language,
    mill: `${mill.name}, ${mill.phone}`,
    printed: words.printed(writtenAt(printedAt, mill.timeZone, language), printedBy),
    lotWord: words.lot,
    lotNumber: row.number,
    ingredient: language === 'en' ? row.ingredient.nameEn : row.ingredient.nameSw,
    pictogram: row.ingredient.pictogram,
    qr: `KINU LOT ${row.number}`,
    card: {
      title: words.card,
      state: isLimited(row) ? words.limited : words.state[status],
      stateShape: isPastRetest(row, today) ? 'hold' : SHAPE[status],
      bar: barOf(row, today, words),
      rows,
      warnings: warningsOf(facts, words),
      keep: words.keep,
    },
    label: {
      title: words.sample,
      rows: [rows[0], rows[4], rows[1], rows[2]].flatMap((found) => (found ? [found] : [])),
      kinds: [...words.kinds],
      how: howToSample(row, words),
      blanks: [...words.blanks],
    },
  }
}
