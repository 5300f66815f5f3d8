import type { z } from 'zod'
import type { ChangeVersionBody, LimitsBody, MedicationBody, VersionView } from '#contract/formulas'
import type { NutrientId } from '#core/composition/nutrients'
import { readTyped } from '../../format/typed'

/** Both sides of a limit as they are typed; a removed row stays until the page is left, so that it can come back. */
type Sides = { readonly min: string; readonly max: string; readonly removed: boolean }
export type NutrientRow = Sides & { readonly nutrient: NutrientId }
export type IngredientRow = Sides & { readonly ingredientId: string }
export type GroupRow = Sides & { readonly id: string; readonly ingredientIds: readonly string[] }
export type RatioRow = Sides & { readonly id: string; readonly numerator: NutrientId; readonly denominator: NutrientId }
export type MedicationRow = { readonly active: string; readonly mgPerKg: string; readonly ingredientId: string }
export type LimitRow = NutrientRow | IngredientRow | GroupRow | RatioRow

export type VersionForm = {
  readonly nutrients: readonly NutrientRow[]
  readonly ingredients: readonly IngredientRow[]
  readonly groups: readonly GroupRow[]
  readonly ratios: readonly RatioRow[]
  readonly medication: MedicationRow | null
  readonly note: string
}
export type Section = 'nutrients' | 'ingredients' | 'groups' | 'ratios'
export type Version = z.output<typeof VersionView>
export type Limits = z.output<typeof LimitsBody>
export type Medication = z.output<typeof MedicationBody>
export type VersionBody = z.output<typeof ChangeVersionBody>

const typed = (value: number | undefined): string => (value === undefined ? '' : String(value))
const sides = (min: number | undefined, max: number | undefined): Sides => ({ min: typed(min), max: typed(max), removed: false })

export const formOf = ({ limits, medication, note }: Pick<Version, 'limits' | 'medication' | 'note'>): VersionForm => ({
  nutrients: limits.nutrients.map(({ nutrient, min, max }) => ({ nutrient, ...sides(min, max) })),
  ingredients: limits.ingredients.map(({ ingredientId, minPct, maxPct }) => ({ ingredientId, ...sides(minPct, maxPct) })),
  groups: limits.groups.map(({ id, ingredientIds, minPct, maxPct }) => ({ id, ingredientIds, ...sides(minPct, maxPct) })),
  ratios: limits.ratios.map(({ id, numerator, denominator, min, max }) => ({ id, numerator, denominator, ...sides(min, max) })),
  medication: medication && { ...medication, mgPerKg: String(medication.mgPerKg) },
  note,
})

export type Fault = 'not-a-number' | 'which-number' | 'empty' | 'min-above-max'
export type Faults = ReadonlyMap<string, Fault>
type Read = { readonly body: VersionBody; readonly faults: Faults }

type Numbers = { readonly min?: number; readonly max?: number }

const readSides = (row: Sides, path: string, faults: Map<string, Fault>, names: readonly [string, string]): Numbers => {
  const found: { min?: number; max?: number } = {}
  for (const [side, name] of [['min', names[0]] as const, ['max', names[1]] as const]) {
    const reading = readTyped(row[side])
    if (reading.kind === 'number') found[side] = Number(reading.text)
    else if (reading.kind !== 'empty') faults.set(`${path}.${name}`, reading.kind === 'ask' ? 'which-number' : 'not-a-number')
  }
  if (row.min.trim() === '' && row.max.trim() === '') faults.set(`${path}.${names[0]}`, 'empty')
  if (found.min !== undefined && found.max !== undefined && found.min > found.max) faults.set(`${path}.${names[0]}`, 'min-above-max')
  return found
}

const whole = ({ min, max }: Numbers): boolean => min !== undefined || max !== undefined
const PLAIN = ['min', 'max'] as const
const SHARES = ['minPct', 'maxPct'] as const
const inPct = ({ min, max }: Numbers) => ({ ...(min === undefined ? {} : { minPct: min }), ...(max === undefined ? {} : { maxPct: max }) })

const staying = <R extends Sides>(rows: readonly R[]): R[] => rows.filter(({ removed }) => !removed)

/**
 * What the mill is asked to keep, and what is wrong with what is typed, by the path that the mill itself would name.
 * A row with neither side is left out of the body (and is a fault when it is saved).
 */
export const readForm = (form: VersionForm): Read => {
  const faults = new Map<string, Fault>()
  const read = <R extends Sides, L>(
    section: Section,
    rows: readonly R[],
    names: readonly [string, string],
    make: (row: R, n: Numbers) => L,
  ) =>
    staying(rows).flatMap((row, index) => {
      const numbers = readSides(row, `limits.${section}.${index}`, faults, names)
      return whole(numbers) ? [make(row, numbers)] : []
    })
  const limits: Limits = {
    nutrients: read('nutrients', form.nutrients, PLAIN, ({ nutrient }, numbers) => ({ nutrient, ...numbers })),
    ratios: read('ratios', form.ratios, PLAIN, ({ id, numerator, denominator }, numbers) => ({ id, numerator, denominator, ...numbers })),
    ingredients: read('ingredients', form.ingredients, SHARES, ({ ingredientId }, numbers) => ({ ingredientId, ...inPct(numbers) })),
    groups: read('groups', form.groups, SHARES, ({ id, ingredientIds }, numbers) => ({
      id,
      ingredientIds: [...ingredientIds],
      ...inPct(numbers),
    })),
  }
  return { body: { limits, medication: readMedication(form.medication, faults), note: form.note }, faults }
}

const readMedication = (row: MedicationRow | null, faults: Map<string, Fault>): Medication | null => {
  if (!row) return null
  const dose = readTyped(row.mgPerKg)
  if (row.active.trim() === '') faults.set('medication.active', 'empty')
  if (row.ingredientId === '') faults.set('medication.ingredientId', 'empty')
  if (dose.kind !== 'number') faults.set('medication.mgPerKg', dose.kind === 'ask' ? 'which-number' : dose.kind)
  return { active: row.active.trim(), mgPerKg: dose.kind === 'number' ? Number(dose.text) : 0, ingredientId: row.ingredientId }
}

/** A mix can be worked out while a new row still waits for its figures, but not from figures that cannot be read. */
export const canSolve = ({ body, faults }: Read): boolean =>
  body.limits.nutrients.length > 0 && [...faults].every(([path, fault]) => fault === 'empty' && !path.startsWith('medication'))

/** The place of a row among those that stay: the index under which the mill names it. */
export const placeOf = (rows: readonly Sides[], index: number): number => staying(rows.slice(0, index)).length

const at = <R>(rows: readonly R[], index: number, change: (row: R) => R): R[] =>
  rows.map((row, place) => (place === index ? change(row) : row))

/** The form with one row changed. */
export const changeRow = (form: VersionForm, section: Section, index: number, change: Partial<Sides>): VersionForm => {
  const changed = <R extends Sides>(rows: readonly R[]): R[] => at(rows, index, (row) => ({ ...row, ...change }))
  switch (section) {
    case 'nutrients':
      return { ...form, nutrients: changed(form.nutrients) }
    case 'ingredients':
      return { ...form, ingredients: changed(form.ingredients) }
    case 'groups':
      return { ...form, groups: changed(form.groups) }
    case 'ratios':
      return { ...form, ratios: changed(form.ratios) }
    default:
      return section satisfies never
  }
}

const EMPTY: Sides = { min: '', max: '', removed: false }
/** A removed row of the same name comes back as it was. */
export const addNutrient = (form: VersionForm, nutrient: NutrientId): VersionForm => {
  const index = form.nutrients.findIndex((row) => row.nutrient === nutrient)
  return index >= 0
    ? changeRow(form, 'nutrients', index, { removed: false })
    : { ...form, nutrients: [...form.nutrients, { nutrient, ...EMPTY }] }
}
export const addIngredient = (form: VersionForm, ingredientId: string): VersionForm => {
  const index = form.ingredients.findIndex((row) => row.ingredientId === ingredientId)
  return index >= 0
    ? changeRow(form, 'ingredients', index, { removed: false })
    : { ...form, ingredients: [...form.ingredients, { ingredientId, ...EMPTY }] }
}
