import type { GatePriceBody } from '#contract/gate-price'
import type { z } from 'zod'
import { formatKg as wireKg, grams, readKg } from '#core/quantity/mass'
import { readTyped } from '../../format/typed'
import { emptyDraft, keepDraft, type ReceiveDraft } from '../lots/receiveDraft'
import type { IngredientRow } from '../lots/IngredientPicker'

/** The question as it is typed. */
export type GateDraft = {
  readonly ingredientId: string
  readonly supplierId: string
  readonly kg: string
  readonly bags: string
  readonly bagKg: string
  readonly pricePerKg: string
  readonly moisturePct: string
  readonly proteinPct: string
  readonly proteinMethod: string
  readonly sandPct: string
  readonly sandMethod: string
  readonly urea: string
  readonly agreedMoisturePct: string
  readonly days: string
}

export const emptyGate: GateDraft = {
  ingredientId: '',
  supplierId: '',
  kg: '',
  bags: '',
  bagKg: '',
  pricePerKg: '',
  moisturePct: '',
  proteinPct: '',
  proteinMethod: 'near-infrared',
  sandPct: '',
  sandMethod: 'sand-jar',
  urea: '',
  agreedMoisturePct: '',
  days: '14',
}

const textOf = (typed: string): string | null => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? reading.text : null
}
const numberOf = (typed: string): number | null => {
  const text = textOf(typed)
  return text === null ? null : Number(text)
}

export type GateBody = z.input<typeof GatePriceBody>
type Faults = Readonly<Partial<Record<keyof GateDraft, 'field.empty' | 'field.chooseOne' | 'field.notANumber'>>>

const NUMBERS = ['kg', 'bags', 'bagKg', 'pricePerKg', 'moisturePct', 'proteinPct', 'sandPct', 'agreedMoisturePct', 'days'] as const

/** Who counts sacks is asked for what is missing of them; who typed nothing is asked for the weight. */
const massFaults = ({ kg, bags, bagKg }: GateDraft): Faults => {
  if (kg.trim() !== '') return {}
  const [noBags, noBagKg] = [bags.trim() === '', bagKg.trim() === '']
  if (noBags && noBagKg) return { kg: 'field.empty' }
  return { ...(noBags ? { bags: 'field.empty' as const } : {}), ...(noBagKg ? { bagKg: 'field.empty' as const } : {}) }
}

const faultsOf = (draft: GateDraft): Faults => ({
  ...(draft.ingredientId === '' ? { ingredientId: 'field.chooseOne' as const } : {}),
  ...massFaults(draft),
  ...(draft.pricePerKg.trim() === '' ? { pricePerKg: 'field.empty' as const } : {}),
  ...(draft.days.trim() === '' ? { days: 'field.empty' as const } : {}),
  ...Object.fromEntries(
    NUMBERS.filter((name) => draft[name].trim() !== '' && textOf(draft[name]) === null).map((name) => [name, 'field.notANumber' as const]),
  ),
})

const choiceOf = <W extends string>(allowed: readonly W[], typed: string): W | undefined => allowed.find((word) => word === typed)

/** What is sent to the mill, or what must be put right first, by field. */
export const readGate = (draft: GateDraft): { readonly body: GateBody | null; readonly faults: Faults } => {
  const faults = faultsOf(draft)
  if (Object.keys(faults).length > 0) return { body: null, faults }
  const byWeight = textOf(draft.kg)
  return {
    faults,
    body: {
      ingredientId: draft.ingredientId,
      supplierId: draft.supplierId === '' ? null : draft.supplierId,
      kg: byWeight,
      bags: numberOf(draft.bags),
      bagKg: byWeight === null ? textOf(draft.bagKg) : null,
      pricePerKg: textOf(draft.pricePerKg) ?? '',
      moisturePct: numberOf(draft.moisturePct),
      proteinPct: numberOf(draft.proteinPct),
      proteinMethod: choiceOf(['near-infrared', 'chemical'], draft.proteinMethod),
      sandPct: numberOf(draft.sandPct),
      sandMethod: choiceOf(['sand-jar', 'laboratory'], draft.sandMethod),
      urea: choiceOf<'none-found' | 'found'>(['none-found', 'found'], draft.urea) ?? null,
      agreedMoisturePct: numberOf(draft.agreedMoisturePct),
      days: numberOf(draft.days) ?? Number.NaN,
    },
  }
}

/** Kilograms on the truck as typed, by weight or by sacks; empty while unknown. */
const netOf = ({ kg, bags, bagKg }: GateDraft): string => {
  const typed = textOf(kg)
  if (typed !== null) return typed
  const [count, each] = [numberOf(bags), readKg(textOf(bagKg) ?? '')]
  return count === null || each === null ? '' : wireKg(grams(Math.round(count * each))).replace(/\.?0+$/, '')
}

/** The truck as a delivery that is being received: what was typed here need not be typed again. */
export const receiptOf = (draft: GateDraft, ingredient: IngredientRow): ReceiveDraft => ({
  ...emptyDraft(),
  ingredientId: ingredient.id,
  category: ingredient.category,
  shelfLifeDays: ingredient.shelfLifeDays,
  supplierId: draft.supplierId,
  bags: draft.bags,
  netKg: netOf(draft),
  pricePerKg: draft.pricePerKg,
  moisturePct: draft.moisturePct,
})

/** Opens the receiving page with the truck filled in; the page keeps its draft in the same place. */
export const receiveTruck = (draft: GateDraft, ingredient: IngredientRow): void => {
  keepDraft(receiptOf(draft, ingredient))
  location.hash = '#/lots/create'
}
