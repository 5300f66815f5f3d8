import type { ReceiveLotBody } from '#contract/lots'
import { mustDeclareMedication } from '#core/safety/lot-duties'
import { readTyped } from '../../format/typed'
import type { StaffKey } from '../../i18n/words'
import { newKey } from '../../providers/http'

/** A delivery as it is being typed. Texts as typed, so that nothing is lost on the way to a new supplier and back. */
export type ReceiveDraft = {
  /** The key of this delivery: one draft is received once, however often it is sent. */
  readonly key: string
  /** When it was first sent, so that sending it again is the same delivery; empty before. */
  readonly receivedAt: string
  readonly ingredientId: string
  readonly category: string
  readonly supplierId: string
  readonly bags: string
  readonly netKg: string
  readonly pricePerKg: string
  readonly moisturePct: string
  readonly deliveryNote: string
  readonly storagePlace: string
  readonly expiresOn: string
  readonly medicine: '' | 'none' | 'named' | 'unread'
  readonly active: string
  readonly strengthPct: string
}

export const emptyDraft = (): ReceiveDraft => ({
  key: newKey(),
  receivedAt: '',
  ingredientId: '',
  category: '',
  supplierId: '',
  bags: '',
  netKg: '',
  pricePerKg: '',
  moisturePct: '',
  deliveryNote: '',
  storagePlace: '',
  expiresOn: '',
  medicine: '',
  active: '',
  strengthPct: '',
})

const PLACE = 'kinu.receive'

export const keepDraft = (draft: ReceiveDraft): void => {
  try {
    sessionStorage.setItem(PLACE, JSON.stringify(draft))
  } catch {
    // a browser without storage keeps the form only while it is open
  }
}

export const keptDraft = (): ReceiveDraft => {
  try {
    const kept: unknown = JSON.parse(sessionStorage.getItem(PLACE) ?? 'null')
    return typeof kept === 'object' && kept !== null ? { ...emptyDraft(), ...kept } : emptyDraft()
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

export type Faults = Readonly<Partial<Record<keyof ReceiveLotBody | 'medication.active' | 'medication.strengthPct', StaffKey>>>
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

/** What is sent to the mill, or what must be put right first, by the field it stands in. `now` as an ISO instant. */
export const readDraft = (draft: ReceiveDraft, now: string): Reading => {
  const [netKg, pricePerKg, bags, moisture] = [
    positive(draft.netKg),
    positive(draft.pricePerKg),
    whole(draft.bags),
    percent(draft.moisturePct),
  ]
  const faults: Faults = {
    ...(draft.ingredientId === '' ? { ingredientId: 'field.chooseOne' as const } : {}),
    ...(draft.supplierId === '' ? { supplierId: 'field.chooseOne' as const } : {}),
    ...(typeof bags === 'string' ? { bags } : {}),
    ...(isFault(netKg) ? { netKg } : {}),
    ...(isFault(pricePerKg) ? { pricePerKg } : {}),
    ...(typeof moisture === 'string' ? { intakeMoisturePct: moisture } : {}),
    ...medicineFaults(draft),
  }
  if (Object.keys(faults).length > 0 || typeof bags === 'string' || typeof moisture === 'string') return { kind: 'faults', faults }
  return {
    kind: 'body',
    body: {
      ingredientId: draft.ingredientId,
      supplierId: draft.supplierId,
      receivedAt: draft.receivedAt === '' ? now : draft.receivedAt,
      bags,
      netKg,
      pricePerKg,
      intakeMoisturePct: moisture,
      deliveryNote: draft.deliveryNote.trim(),
      storagePlace: draft.storagePlace.trim(),
      expiresOn: draft.expiresOn === '' ? null : draft.expiresOn,
      medicationDeclared: draft.medicine === 'none' || draft.medicine === 'named',
      medication: medicationOf(draft),
    },
  }
}

/** A sack is refused no weight, but one outside these is worth a second look. Common practice, no source. */
const USUAL_SACK_KG = [20, 120] as const

/** Kilograms a sack from what is typed, and whether that is unusual; nothing while either is missing. */
export const sackWeight = (draft: ReceiveDraft): { readonly kg: number; readonly odd: boolean } | null => {
  const [net, bags] = [positive(draft.netKg), positive(draft.bags)]
  if (isFault(net) || isFault(bags)) return null
  const kg = Number(net) / Number(bags)
  return { kg, odd: kg < USUAL_SACK_KG[0] || kg > USUAL_SACK_KG[1] }
}

/** Maize above this moisture goes mouldy in store (the book's main quality risk of maize: "moisture >13.5 %"). */
export const MAIZE_MOISTURE_PCT = 13.5

export const tooWet = ({ ingredientId, moisturePct }: ReceiveDraft): string | null => {
  const reading = readTyped(moisturePct)
  if (!ingredientId.startsWith('maize_') || reading.kind !== 'number') return null
  return Number(reading.text) > MAIZE_MOISTURE_PCT ? reading.text : null
}
