import type { LotView, ReceiveLotBody } from '#contract/lots'
import { formatKg as wireKg, readKg, type Grams } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'
import { keepingOf, MAIZE_MOISTURE_PCT, type Keeping } from '#core/receiving/keeping'
import { LOOK_POINTS, type LookPoint } from '#core/receiving/looks'
import { paymentOf } from '#core/receiving/payment'
import { netOf, noteDifference, type NoteDifference } from '#core/receiving/weights'
import { mustDeclareMedication } from '#core/safety/lot-duties'
import { readTyped } from '../../format/typed'
import type { StaffKey } from '../../i18n/words'
import { newKey } from '../../providers/http'
import { currentUser } from '../../providers/session'

/** A delivery as it is being typed. Texts as typed, so that nothing is lost on the way to a new supplier and back. */
export type ReceiveDraft = {
  /** The key of this delivery: one draft is received once, however often it is sent. */
  readonly key: string
  /** When it was first sent, so that sending it again is the same delivery; empty before. */
  readonly receivedAt: string
  readonly ingredientId: string
  readonly category: string
  readonly shelfLifeDays: number | null
  readonly supplierId: string
  readonly bags: string
  /** How it was weighed: the goods alone, or with what carried them and then without. */
  readonly weighedBy: 'net' | 'gross'
  readonly netKg: string
  readonly grossKg: string
  readonly tareKg: string
  readonly emptyBagG: string
  readonly noteKg: string
  readonly terms: 'delivered' | 'agreed'
  readonly agreedPct: string
  readonly pricePerKg: string
  readonly moisturePct: string
  readonly deliveryNote: string
  readonly storagePlace: string
  /** Empty: as long as it keeps by the book. */
  readonly expiresOn: string
  readonly expiryOnLabel: boolean
  readonly looks: Readonly<Partial<Record<LookPoint, { readonly good: boolean; readonly note: string }>>>
  readonly medicine: '' | 'none' | 'named' | 'unread'
  readonly active: string
  readonly strengthPct: string
}

export const emptyDraft = (): ReceiveDraft => ({
  key: newKey(),
  receivedAt: '',
  ingredientId: '',
  category: '',
  shelfLifeDays: null,
  supplierId: '',
  bags: '',
  weighedBy: 'net',
  netKg: '',
  grossKg: '',
  tareKg: '',
  emptyBagG: '',
  noteKg: '',
  terms: 'delivered',
  agreedPct: '',
  pricePerKg: '',
  moisturePct: '',
  deliveryNote: '',
  storagePlace: '',
  expiresOn: '',
  expiryOnLabel: false,
  looks: {},
  medicine: '',
  active: '',
  strengthPct: '',
})

type Refused = { readonly draft: unknown; readonly refusal: { readonly fields: readonly { readonly path: string }[] } | null }

/** A delivery that the mill refused, to be put right under a key of its own; where the phone's clock was wrong, at the moment of that. */
export const draftOfRefused = ({ draft, refusal }: Refused): ReceiveDraft => {
  const typed = draft as ReceiveDraft
  const isClockWrong = refusal?.fields.some(({ path }) => path === 'receivedAt') ?? false
  return { ...typed, key: newKey(), receivedAt: isClockWrong ? '' : typed.receivedAt }
}

const PLACE = 'kinu.receive'
type Kept = { readonly userId: string | undefined; readonly draft: object }

export const keepDraft = (draft: ReceiveDraft): void => {
  try {
    const kept: Kept = { userId: currentUser()?.id, draft }
    sessionStorage.setItem(PLACE, JSON.stringify(kept))
  } catch {
    // a browser without storage keeps the form only while it is open
  }
}

const isKept = (value: unknown): value is Kept =>
  typeof value === 'object' && value !== null && 'draft' in value && typeof value.draft === 'object' && value.draft !== null

/** What this person was typing. On a shared phone the next one begins anew, and what the last one typed is gone. */
export const keptDraft = (): ReceiveDraft => {
  try {
    const kept: unknown = JSON.parse(sessionStorage.getItem(PLACE) ?? 'null')
    if (isKept(kept) && kept.userId === currentUser()?.id) return { ...emptyDraft(), ...kept.draft }
    dropDraft()
    return emptyDraft()
  } catch {
    return emptyDraft()
  }
}

export const dropDraft = (): void => {
  try {
    sessionStorage.removeItem(PLACE)
  } catch {
    // nothing was kept
  }
}

type Path = keyof ReceiveLotBody | 'medication.active' | 'medication.strengthPct' | `weighing.${'grossKg' | 'tareKg' | 'emptyBagG'}`
export type Faults = Readonly<Partial<Record<Path, StaffKey>>>
type Reading = { readonly kind: 'body'; readonly body: ReceiveLotBody } | { readonly kind: 'faults'; readonly faults: Faults }

/** Above 0, or the fault. */
const positive = (typed: string): string => {
  const reading = readTyped(typed)
  if (reading.kind === 'empty') return 'field.empty'
  if (reading.kind !== 'number') return 'field.notANumber'
  return Number(reading.text) > 0 ? reading.text : 'field.above0'
}
const isFault = (text: string): text is StaffKey => text.startsWith('field.')

const whole = (typed: string): number | null | StaffKey => {
  if (typed.trim() === '') return null
  const text = positive(typed)
  if (isFault(text)) return text
  return Number.isInteger(Number(text)) ? Number(text) : 'field.notANumber'
}

const percent = (typed: string): number | null | StaffKey => {
  const reading = readTyped(typed)
  if (reading.kind === 'empty') return null
  return reading.kind === 'number' && Number(reading.text) >= 0 ? Number(reading.text) : 'field.notANumber'
}

const medicineFaults = (draft: ReceiveDraft): Faults => {
  if (mustDeclareMedication(draft) && draft.medicine === '') return { medicationDeclared: 'field.chooseOne' }
  if (draft.medicine !== 'named') return {}
  const strength = positive(draft.strengthPct)
  return {
    ...(draft.active.trim() === '' ? { 'medication.active': 'field.empty' } : {}),
    ...(isFault(strength) ? { 'medication.strengthPct': strength } : {}),
  }
}

const medicationOf = ({ medicine, active, strengthPct }: ReceiveDraft): ReceiveLotBody['medication'] =>
  medicine === 'named' ? { active: active.trim(), strengthPct: Number(positive(strengthPct)) } : null

/** A figure above 0 as typed, or null while it is empty or none. */
const figure = (typed: string): number | null => {
  const text = positive(typed)
  return isFault(text) ? null : Number(text)
}
const mass = (typed: string): Grams | null => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? readKg(reading.text) : null
}

/** Net weight of a delivery that was weighed with its lorry: null while a figure is missing or they cannot be right. */
export const netWeighed = ({ grossKg, tareKg, bags, emptyBagG }: ReceiveDraft): { net: Grams; bags: Grams } | null => {
  const [gross, tare] = [mass(grossKg), mass(tareKg)]
  if (gross === null || tare === null) return null
  const count = figure(bags)
  const facts = { gross, tare, bags: count, emptyBagG: figure(emptyBagG) }
  const net = netOf(facts)
  return net > 0 && tare < gross ? { net, bags: (gross - tare - net) as Grams } : null
}

/** Kilograms of goods, however they were weighed; null while unknown. */
export const netOfDraft = (draft: ReceiveDraft): Grams | null => {
  const net = draft.weighedBy === 'gross' ? (netWeighed(draft)?.net ?? null) : mass(draft.netKg)
  return net !== null && net > 0 ? net : null
}

const weighingFaults = (draft: ReceiveDraft): Faults => {
  const { weighedBy, grossKg, tareKg, emptyBagG, bags } = draft
  const net = positive(draft.netKg)
  if (weighedBy === 'net') return isFault(net) ? { netKg: net } : {}
  const [gross, tare, bag] = [positive(grossKg), mass(tareKg), whole(emptyBagG)]
  const missing: Faults = {
    ...(isFault(gross) ? { 'weighing.grossKg': gross } : {}),
    ...(tare === null ? { 'weighing.tareKg': tareKg.trim() === '' ? ('field.empty' as const) : ('field.notANumber' as const) } : {}),
    ...(typeof bag === 'string' ? { 'weighing.emptyBagG': bag } : {}),
    ...(typeof bag === 'number' && bags.trim() === '' ? { bags: 'field.empty' as const } : {}),
  }
  return Object.keys(missing).length === 0 && netWeighed(draft) === null ? { 'weighing.tareKg': 'receiving.tareAbove' } : missing
}

const optional = (typed: string): string | null => (typed.trim() === '' ? null : positive(typed))

const termsFaults = ({ terms, agreedPct, moisturePct }: ReceiveDraft): Faults => {
  if (terms === 'delivered') return {}
  const agreed = positive(agreedPct)
  return {
    ...(isFault(agreed) ? { agreedMoisturePct: agreed } : {}),
    ...(figure(moisturePct) === null ? { intakeMoisturePct: 'receiving.payNeedsMoisture' as const } : {}),
  }
}

const looksOf = ({ looks }: ReceiveDraft): ReceiveLotBody['looks'] =>
  LOOK_POINTS.flatMap((point) => {
    const seen = looks[point]
    return seen ? [{ point, good: seen.good, note: seen.good ? '' : seen.note.trim() }] : []
  })

const weighingOf = ({ weighedBy, grossKg, tareKg, emptyBagG }: ReceiveDraft): ReceiveLotBody['weighing'] => {
  const [gross, tare] = [mass(grossKg), mass(tareKg)]
  return weighedBy === 'net' || gross === null || tare === null
    ? null
    : { grossKg: wireKg(gross), tareKg: wireKg(tare), emptyBagG: figure(emptyBagG) }
}

/** What is sent to the mill, or what must be put right first, by the field it stands in. `now` as an ISO instant. */
export const readDraft = (draft: ReceiveDraft, now: string): Reading => {
  const [pricePerKg, noteKg, bags, moisture] = [
    positive(draft.pricePerKg),
    optional(draft.noteKg),
    whole(draft.bags),
    percent(draft.moisturePct),
  ]
  const faults: Faults = {
    ...(draft.ingredientId === '' ? { ingredientId: 'field.chooseOne' as const } : {}),
    ...(draft.supplierId === '' ? { supplierId: 'field.chooseOne' as const } : {}),
    ...(typeof bags === 'string' ? { bags } : {}),
    ...weighingFaults(draft),
    ...(noteKg !== null && isFault(noteKg) ? { noteKg } : {}),
    ...(isFault(pricePerKg) ? { pricePerKg } : {}),
    ...(typeof moisture === 'string' ? { intakeMoisturePct: moisture } : {}),
    ...termsFaults(draft),
    ...medicineFaults(draft),
  }
  const net = netOfDraft(draft)
  if (Object.keys(faults).length > 0 || typeof bags === 'string' || typeof moisture === 'string' || net === null)
    return { kind: 'faults', faults: net === null && Object.keys(faults).length === 0 ? { netKg: 'field.notANumber' } : faults }
  return {
    kind: 'body',
    body: {
      ingredientId: draft.ingredientId,
      supplierId: draft.supplierId,
      receivedAt: draft.receivedAt === '' ? now : draft.receivedAt,
      bags,
      netKg: draft.weighedBy === 'gross' ? wireKg(net) : positive(draft.netKg),
      weighing: weighingOf(draft),
      noteKg,
      pricePerKg,
      agreedMoisturePct: draft.terms === 'agreed' ? figure(draft.agreedPct) : null,
      intakeMoisturePct: moisture,
      deliveryNote: draft.deliveryNote.trim(),
      storagePlace: draft.storagePlace.trim(),
      expiresOn: draft.expiresOn === '' ? null : draft.expiresOn,
      expiryOnLabel: draft.expiresOn !== '' && draft.expiryOnLabel,
      looks: looksOf(draft),
      medicationDeclared: draft.medicine === 'none' || draft.medicine === 'named',
      medication: medicationOf(draft),
    },
  }
}

/** A delivery as it stands in the books, to be put right: everything typed again as it was. */
export const draftOf = (lot: LotView, ingredient: { category: string; shelfLifeDays: number | null }): ReceiveDraft => ({
  ...emptyDraft(),
  receivedAt: lot.receivedAt,
  ingredientId: lot.ingredientId,
  ...ingredient,
  supplierId: lot.supplierId,
  bags: lot.bags === null ? '' : String(lot.bags),
  weighedBy: lot.weighing === null ? 'net' : 'gross',
  netKg: plainText(lot.netKg),
  grossKg: plainText(lot.weighing?.grossKg ?? ''),
  tareKg: plainText(lot.weighing?.tareKg ?? ''),
  emptyBagG: lot.weighing?.emptyBagG ? String(lot.weighing.emptyBagG) : '',
  noteKg: plainText(lot.noteKg ?? ''),
  terms: lot.payment.agreedMoisturePct === null ? 'delivered' : 'agreed',
  agreedPct: lot.payment.agreedMoisturePct === null ? '' : String(lot.payment.agreedMoisturePct),
  pricePerKg: plainText(lot.payment.pricePerKg),
  moisturePct: lot.intakeMoisturePct === null ? '' : String(lot.intakeMoisturePct),
  deliveryNote: lot.deliveryNote,
  storagePlace: lot.storagePlace,
  expiresOn: lot.expiryRule === 'keeper' || lot.expiryRule === 'label' ? (lot.expiresOn ?? '') : '',
  expiryOnLabel: lot.expiryRule === 'label',
  looks: Object.fromEntries(lot.looks.map(({ point, good, note }) => [point, { good, note }])),
  medicine: lot.medication ? 'named' : lot.medicationDeclared ? 'none' : mustDeclareMedication(ingredient) ? 'unread' : '',
  active: lot.medication?.active ?? '',
  strengthPct: lot.medication ? String(lot.medication.strengthPct) : '',
})

/** A figure of the mill without the noughts that nobody types. */
const plainText = (wire: string): string => (wire.includes('.') ? wire.replace(/\.?0+$/, '') : wire)

/** What the scale says against the delivery note, once both are known. */
export const noteDifferenceOf = (draft: ReceiveDraft): NoteDifference | null => {
  const [net, noted] = [netOfDraft(draft), mass(draft.noteKg)]
  return net === null || noted === null || noted === 0 ? null : noteDifference(net, noted)
}

export type Owed = { readonly kg: string; readonly money: string }

/** What is owed both ways: for each kilogram as it came, and at the agreed moisture when those are the terms. */
export const owedOf = (draft: ReceiveDraft): { readonly delivered: Owed; readonly agreed: Owed | null } | null => {
  const [net, typed] = [netOfDraft(draft), figure(draft.pricePerKg)]
  if (net === null || typed === null || typed >= 1_000_000) return null
  const price = parsePricePerKg(typed.toFixed(4))
  const payment =
    draft.terms === 'agreed' ? paymentOf(net, figure(draft.moisturePct), { price, agreedMoisturePct: figure(draft.agreedPct) ?? 0 }) : null
  return {
    delivered: { kg: wireKg(net), money: formatMoney(costOf(net, price)) },
    agreed: payment && { kg: wireKg(payment.paid), money: formatMoney(payment.money) },
  }
}

/** How long this delivery keeps by the rules that the mill also goes by; null where only the label knows. */
export const keepingOfDraft = ({ ingredientId, category, shelfLifeDays, moisturePct }: ReceiveDraft): Keeping | null =>
  ingredientId === '' ? null : keepingOf({ ingredientId, category, shelfLifeDays, moisturePct: figure(moisturePct) })

/** A sack is refused no weight, but one outside these is worth a second look. Common practice, no source. */
const USUAL_SACK_KG = [20, 120] as const

/** Kilograms a sack from what is typed, and whether that is unusual; nothing while either is missing. */
export const sackWeight = (draft: ReceiveDraft): { readonly kg: number; readonly odd: boolean } | null => {
  const [net, bags] = [netOfDraft(draft), figure(draft.bags)]
  if (net === null || bags === null) return null
  const kg = net / 1000 / bags
  return { kg, odd: kg < USUAL_SACK_KG[0] || kg > USUAL_SACK_KG[1] }
}

export const tooWet = ({ ingredientId, moisturePct }: ReceiveDraft): string | null => {
  const reading = readTyped(moisturePct)
  if (!ingredientId.startsWith('maize_') || reading.kind !== 'number') return null
  return Number(reading.text) > MAIZE_MOISTURE_PCT ? reading.text : null
}
