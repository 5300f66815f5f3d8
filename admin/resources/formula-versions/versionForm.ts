import type { z } from 'zod'
import type { ChangeVersionBody, LimitsBody, MedicationBody, VersionView } from '#contract/formulas'
import type { NutrientId } from '#core/composition/nutrients'
import { readTyped } from '../../format/typed'

/** Both sides of a limit as they are typed; a removed row stays until the page is left, so that it can come back. */
type Sides = { readonly min: string; readonly max: string; readonly removed: boolean }
/** How sure a limit must be: on average, or so often. The words of the choices stand in the topic `limit`. */
export const CERTAINTIES = ['0.5', '0.9', '0.95', '0.975'] as const
export type NutrientRow = Sides & { readonly nutrient: NutrientId; readonly certainty: string }
export type PerDayRow = Sides & { readonly nutrient: NutrientId }
/** The hens of limits a bird and day, as typed. */
export type BirdsForm = { readonly weightKg: string; readonly temperatureC: string; readonly gainG: string; readonly eggMassG: string }
export type PerDayForm = { readonly birds: BirdsForm; readonly rows: readonly PerDayRow[] }
export type IngredientRow = Sides & { readonly ingredientId: string }
export type GroupRow = Sides & { readonly id: string; readonly ingredientIds: readonly string[] }
export type RatioRow = Sides & { readonly id: string; readonly numerator: NutrientId; readonly denominator: NutrientId }
export type MedicationRow = { readonly active: string; readonly mgPerKg: string; readonly ingredientId: string }

export type VersionForm = {
  readonly nutrients: readonly NutrientRow[]
  readonly ingredients: readonly IngredientRow[]
  readonly groups: readonly GroupRow[]
  readonly ratios: readonly RatioRow[]
  readonly perDay: PerDayForm | null
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

type PerDay = NonNullable<Limits['perDay']>
const perDayFormOf = ({ birds, limits }: PerDay): PerDayForm => ({
  birds: {
    weightKg: String(birds.weightKg),
    temperatureC: String(birds.temperatureC),
    gainG: String(birds.gainG),
    eggMassG: String(birds.eggMassG),
  },
  rows: limits.map(({ nutrient, minPerDay, maxPerDay }) => ({ nutrient, ...sides(minPerDay, maxPerDay) })),
})

export const formOf = ({ limits, medication, note }: Pick<Version, 'limits' | 'medication' | 'note'>): VersionForm => ({
  nutrients: limits.nutrients.map(({ nutrient, min, max, certainty }) => ({
    nutrient,
    ...sides(min, max),
    certainty: String(certainty ?? CERTAINTIES[0]),
  })),
  ingredients: limits.ingredients.map(({ ingredientId, minPct, maxPct }) => ({ ingredientId, ...sides(minPct, maxPct) })),
  groups: limits.groups.map(({ id, ingredientIds, minPct, maxPct }) => ({ id, ingredientIds, ...sides(minPct, maxPct) })),
  ratios: limits.ratios.map(({ id, numerator, denominator, min, max }) => ({ id, numerator, denominator, ...sides(min, max) })),
  perDay: limits.perDay ? perDayFormOf(limits.perDay) : null,
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
    nutrients: read('nutrients', form.nutrients, PLAIN, ({ nutrient, certainty }, numbers) => ({
      nutrient,
      ...numbers,
      ...(Number(certainty) > 0.5 ? { certainty: Number(certainty) } : {}),
    })),
    ratios: read('ratios', form.ratios, PLAIN, ({ id, numerator, denominator }, numbers) => ({ id, numerator, denominator, ...numbers })),
    ingredients: read('ingredients', form.ingredients, SHARES, ({ ingredientId }, numbers) => ({ ingredientId, ...inPct(numbers) })),
    groups: read('groups', form.groups, SHARES, ({ id, ingredientIds }, numbers) => ({
      id,
      ingredientIds: [...ingredientIds],
      ...inPct(numbers),
    })),
  }
  const perDay = form.perDay && readPerDay(form.perDay, faults)
  return {
    body: { limits: perDay ? { ...limits, perDay } : limits, medication: readMedication(form.medication, faults), note: form.note },
    faults,
  }
}

const readFigure = (typed: string, path: string, faults: Map<string, Fault>): number => {
  const reading = readTyped(typed)
  if (reading.kind !== 'number') faults.set(path, reading.kind === 'ask' ? 'which-number' : reading.kind)
  return reading.kind === 'number' ? Number(reading.text) : 0
}
const PER_DAY = ['minPerDay', 'maxPerDay'] as const

/** Null where no row is left: the birds alone are no limit. */
const readPerDay = ({ birds, rows }: PerDayForm, faults: Map<string, Fault>): PerDay | null => {
  const kept = staying(rows)
  if (kept.length === 0) return null
  const bird = (name: keyof BirdsForm) => readFigure(birds[name], `limits.perDay.birds.${name}`, faults)
  return {
    birds: { weightKg: bird('weightKg'), temperatureC: bird('temperatureC'), gainG: bird('gainG'), eggMassG: bird('eggMassG') },
    limits: kept.flatMap((row, index) => {
      const { min, max } = readSides(row, `limits.perDay.limits.${index}`, faults, PER_DAY)
      if (min === undefined && max === undefined) return []
      return [
        {
          nutrient: row.nutrient,
          ...(min === undefined ? {} : { minPerDay: min }),
          ...(max === undefined ? {} : { maxPerDay: max }),
        },
      ]
    }),
  }
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
    : { ...form, nutrients: [...form.nutrients, { nutrient, ...EMPTY, certainty: CERTAINTIES[0] }] }
}
export const addIngredient = (form: VersionForm, ingredientId: string): VersionForm => {
  const index = form.ingredients.findIndex((row) => row.ingredientId === ingredientId)
  return index >= 0
    ? changeRow(form, 'ingredients', index, { removed: false })
    : { ...form, ingredients: [...form.ingredients, { ingredientId, ...EMPTY }] }
}

/** Whichever hens the mill's own example has (NRC 1994, from memory): the page says that they are to be changed. */
const FIRST_BIRDS: BirdsForm = { weightKg: '1.75', temperatureC: '22', gainG: '0', eggMassG: '50' }

/** The hens and their limits; the mill's own example where the form has none. */
export const perDayOf = (form: VersionForm): PerDayForm => form.perDay ?? { birds: FIRST_BIRDS, rows: [] }

export const addPerDay = (form: VersionForm, nutrient: NutrientId): VersionForm => {
  const perDay = perDayOf(form)
  const index = perDay.rows.findIndex((row) => row.nutrient === nutrient)
  const rows = index >= 0 ? at(perDay.rows, index, (row) => ({ ...row, removed: false })) : [...perDay.rows, { nutrient, ...EMPTY }]
  return { ...form, perDay: { ...perDay, rows } }
}
export const changePerDay = (form: VersionForm, index: number, change: Partial<Sides>): VersionForm => {
  const perDay = perDayOf(form)
  return { ...form, perDay: { ...perDay, rows: at(perDay.rows, index, (row) => ({ ...row, ...change })) } }
}
export const changeBirds = (form: VersionForm, change: Partial<BirdsForm>): VersionForm => {
  const perDay = perDayOf(form)
  return { ...form, perDay: { ...perDay, birds: { ...perDay.birds, ...change } } }
}

export const changeCertainty = (form: VersionForm, index: number, certainty: string): VersionForm => ({
  ...form,
  nutrients: at(form.nutrients, index, (row) => ({ ...row, certainty })),
})

export const addRatio = (form: VersionForm, numerator: NutrientId, denominator: NutrientId): VersionForm => {
  const id = `${numerator}:${denominator}`
  const index = form.ratios.findIndex((row) => row.id === id)
  return index >= 0
    ? changeRow(form, 'ratios', index, { removed: false })
    : { ...form, ratios: [...form.ratios, { id, numerator, denominator, ...EMPTY }] }
}

/** A group is known by its members, so the same ones are one group. */
export const addGroup = (form: VersionForm, ingredientIds: readonly string[]): VersionForm => {
  const members = [...new Set(ingredientIds)].sort()
  const same = (row: GroupRow): boolean => [...row.ingredientIds].sort().join() === members.join()
  const index = form.groups.findIndex(same)
  if (index >= 0) return changeRow(form, 'groups', index, { removed: false })
  const taken = new Set(form.groups.map(({ id }) => id))
  let number = form.groups.length + 1
  while (taken.has(`group-${number}`)) number += 1
  return { ...form, groups: [...form.groups, { id: `group-${number}`, ingredientIds: members, ...EMPTY }] }
}

/** What is tried without being kept: prices as typed, and what is left out. */
export type Trial = { readonly prices: Readonly<Record<string, string>>; readonly without: readonly string[] }
export const NO_TRIAL: Trial = { prices: {}, without: [] }

/** What of a trial can be asked: prices that can be read. */
export const readTrial = ({ prices, without }: Trial): { prices: { ingredientId: string; pricePerKg: string }[]; without: string[] } => ({
  prices: Object.entries(prices).flatMap(([ingredientId, typed]) => {
    const reading = readTyped(typed)
    const price = reading.kind === 'number' ? Number(reading.text) : Number.NaN
    return price >= 0 && price < 1_000_000 ? [{ ingredientId, pricePerKg: price.toFixed(4) }] : []
  }),
  without: [...without],
})
