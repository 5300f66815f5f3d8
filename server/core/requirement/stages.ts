export type FlockType = 'layer' | 'broiler' | 'dual-purpose' | 'turkey' | 'duck' | 'quail' | 'broiler-breeder'
/** The four groups that the inclusion guides of the ingredient table know. */
export type BirdClass = 'chick' | 'grower' | 'layer' | 'broiler'

export type Stage = {
  /** The flock key of the reference tables. */
  readonly id: string
  readonly flockType: FlockType
  readonly fromWeek: number
  /** Null: no end by age. */
  readonly toWeek: number | null
  readonly birdClass: BirdClass
  /** Whether its birds lay eggs for people. */
  readonly laying: boolean
  /** `key`: the ages stand in the flock key; `practice`: common practice, no source. */
  readonly agesFrom: 'key' | 'practice'
}

/** The age band in weeks that a flock key names, e.g. `layer_chick_0_6wk`. */
export const ageBandOf = (id: string): { readonly fromWeek: number; readonly toWeek: number } | undefined => {
  const match = /_(\d+)_(\d+)wk$/.exec(id)
  return match ? { fromWeek: Number(match[1]), toWeek: Number(match[2]) } : undefined
}

const byKey = (id: string, flockType: FlockType, birdClass: BirdClass): Stage => {
  const band = ageBandOf(id)
  if (!band) throw new Error(`${id} names no ages`)
  return { id, flockType, ...band, birdClass, laying: false, agesFrom: 'key' }
}

type Ages = { readonly fromWeek: number; readonly toWeek: number | null }
const byPractice = (id: string, flockType: FlockType, birdClass: BirdClass, ages: Ages, laying = true): Stage => ({
  id,
  flockType,
  ...ages,
  birdClass,
  laying,
  agesFrom: 'practice',
})

/** All stages with a requirement set, youngest first within a flock type. */
export const STAGES: readonly Stage[] = [
  byKey('layer_chick_0_6wk', 'layer', 'chick'),
  byKey('layer_grower_6_12wk', 'layer', 'grower'),
  byKey('layer_developer_12_18wk', 'layer', 'grower'),
  byPractice('pre_lay', 'layer', 'grower', { fromWeek: 18, toWeek: 20 }, false),
  byPractice('layer_peak', 'layer', 'layer', { fromWeek: 20, toWeek: 45 }),
  byPractice('layer_late', 'layer', 'layer', { fromWeek: 45, toWeek: null }),
  byKey('broiler_pre_starter_0_1wk', 'broiler', 'broiler'),
  byKey('broiler_starter_0_3wk', 'broiler', 'broiler'),
  byKey('broiler_grower_3_6wk', 'broiler', 'broiler'),
  byKey('broiler_finisher_6_8wk', 'broiler', 'broiler'),
  byKey('dual_purpose_chick_0_8wk', 'dual-purpose', 'chick'),
  byKey('dual_purpose_grower_8_20wk', 'dual-purpose', 'grower'),
  byPractice('dual_purpose_layer', 'dual-purpose', 'layer', { fromWeek: 20, toWeek: null }),
  byPractice('broiler_breeder_hen', 'broiler-breeder', 'layer', { fromWeek: 24, toWeek: null }),
  byKey('turkey_starter_0_4wk', 'turkey', 'chick'),
  byKey('turkey_grower_4_8wk', 'turkey', 'grower'),
  byKey('turkey_grower_8_12wk', 'turkey', 'grower'),
  byKey('turkey_finisher_12_16wk', 'turkey', 'grower'),
  byKey('turkey_finisher_16_20wk', 'turkey', 'grower'),
  byKey('turkey_finisher_20_24wk', 'turkey', 'grower'),
  byPractice('turkey_holding', 'turkey', 'grower', { fromWeek: 24, toWeek: null }, false),
  byPractice('turkey_breeder_hen', 'turkey', 'layer', { fromWeek: 30, toWeek: null }),
  byKey('duck_starter_0_2wk', 'duck', 'chick'),
  byKey('duck_grower_2_7wk', 'duck', 'grower'),
  byPractice('duck_breeder', 'duck', 'layer', { fromWeek: 24, toWeek: null }),
  byPractice('quail_grower', 'quail', 'grower', { fromWeek: 0, toWeek: 6 }, false),
  byPractice('quail_layer', 'quail', 'layer', { fromWeek: 6, toWeek: null }),
]

export const stageOf = (id: string): Stage | undefined => STAGES.find((stage) => stage.id === id)

/** Expected age at the first egg in weeks, by flock type; common practice, no source. */
export const FIRST_EGG_WEEK: Partial<Record<FlockType, number>> = {
  layer: 20,
  'dual-purpose': 22,
  'broiler-breeder': 24,
  turkey: 30,
  duck: 24,
  quail: 6,
}

const DAY_MS = 86_400_000

/** Whole weeks and days of age on a date; both dates are YYYY-MM-DD. Undefined before hatching or for a text that is no date. */
export const ageOn = (hatchedOn: string, on: string): { readonly weeks: number; readonly days: number } | undefined => {
  const days = Math.round((Date.parse(`${on}T00:00:00Z`) - Date.parse(`${hatchedOn}T00:00:00Z`)) / DAY_MS)
  return Number.isFinite(days) && days >= 0 ? { weeks: Math.floor(days / 7), days } : undefined
}

export type FlockAge = { readonly flockType: FlockType; readonly ageWeeks: number; readonly laying: boolean }

/** A flock cannot lay much before its time: the mark "laying" counts from four weeks before the expected first egg. */
const isLaying = ({ flockType, ageWeeks, laying }: FlockAge): boolean => laying && ageWeeks >= (FIRST_EGG_WEEK[flockType] ?? Infinity) - 4

/**
 * The stage of a flock by age and lay. Broilers start on the starter feed (the pre-starter is a choice, not an age of its own)
 * and keep the last feed of their kind when they outgrow the table. Undefined where no table has a stage (breeders in rearing).
 */
export const stageByAge = (flock: FlockAge): Stage | undefined => {
  const stages = STAGES.filter(({ id, flockType }) => flockType === flock.flockType && id !== 'broiler_pre_starter_0_1wk')
  if (isLaying(flock)) {
    const laying = stages.filter((stage) => stage.laying)
    return laying.findLast(({ fromWeek }) => fromWeek <= flock.ageWeeks) ?? laying[0]
  }
  // Layers, indigenous hens and quail of age are taken to lay; turkeys, ducks and breeders only when the keeper says so.
  const byAgeAlone = ['layer', 'dual-purpose', 'quail'].includes(flock.flockType) ? stages : stages.filter((stage) => !stage.laying)
  return byAgeAlone.findLast(({ fromWeek }) => fromWeek <= flock.ageWeeks)
}

/** The stage of a flock on a date (YYYY-MM-DD); undefined before hatching or where no table has a stage. */
export const stageForFlock = (flock: {
  readonly flockType: FlockType
  readonly hatchedOn: string
  readonly on: string
  readonly laying: boolean
}): Stage | undefined => {
  const age = ageOn(flock.hatchedOn, flock.on)
  return age && stageByAge({ flockType: flock.flockType, ageWeeks: age.weeks, laying: flock.laying })
}
