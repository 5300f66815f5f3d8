import type { LimitsBody } from '#contract/formulas'
import { fieldError } from '#core/errors'
import type { NutrientLimit } from '#core/formulation/limits'
import { requirementSet, type LimitOrigin, type RequirementSet } from '#core/requirement/requirement-set'
import { stageOf } from '#core/requirement/stages'
import { loadRequirements } from '#features/requirements/requirement-rows'
import type { Db, Tx } from '#platform/database/client'
import type { LimitSource } from './version-view.js'

type Key = { readonly stage: string; readonly source: string }

const loadSet = async (db: Db | Tx, { stage, source }: Key): Promise<RequirementSet & { readonly known: boolean }> => {
  const rows = await loadRequirements(db, stage)
  return { ...requirementSet(rows, stage, source), known: rows.length > 0 }
}

/**
 * The usual highest share of each ingredient that the mill deals in, for the class of birds of the stage. Guidance of the reference tables,
 * most of it from memory; without it the cheapest mix is mostly bran.
 */
const usualShares = async (db: Db | Tx, stage: string): Promise<LimitsBody['ingredients']> => {
  const birdClass = stageOf(stage)?.birdClass
  if (birdClass === undefined) return []
  const guides = await db.inclusionGuide.findMany({
    where: { birdClass, ingredient: { OR: [{ lots: { some: {} } }, { replacementPricePerKg: { not: null } }] } },
    orderBy: { ingredientId: 'asc' },
  })
  return guides.map(({ ingredientId, maxPct }) => ({ ingredientId, maxPct }))
}

const copyOf = (limits: RequirementSet['limits'], ingredients: LimitsBody['ingredients']): LimitsBody => ({
  nutrients: limits.nutrients.map(({ nutrient, min, max }) => ({
    nutrient,
    ...(min === undefined ? {} : { min }),
    ...(max === undefined ? {} : { max }),
  })),
  ratios: [],
  ingredients,
  groups: [],
})

/** The limits that a draft begins with: those of one published set for the stage, and the usual highest shares of ingredients. */
export const limitsFromRequirements = async (db: Db | Tx, key: Key): Promise<LimitsBody> => {
  const set = await loadSet(db, key)
  if (!set.known) throw fieldError('bad-input', 'stage', 'unknown', 'no requirement table knows this stage')
  if (set.origins.length === 0) throw fieldError('bad-input', 'requirementSource', 'unknown', 'this source has no limits for the stage')
  return copyOf(set.limits, await usualShares(db, key.stage))
}

const unchanged = (limit: NutrientLimit, origin: LimitOrigin): boolean =>
  (limit.min ?? null) === origin.min && (limit.max ?? null) === origin.max

/** Where each nutrient limit of a version comes from: its table, read or remembered, or the nutritionist who changed it. */
export const limitSources = async (db: Db | Tx, key: Key, limits: LimitsBody): Promise<LimitSource[]> => {
  const { origins } = await loadSet(db, key)
  return limits.nutrients.map((limit) => {
    const origin = origins.find(({ nutrient }) => nutrient === limit.nutrient)
    if (origin === undefined) return { nutrient: limit.nutrient, source: '', seen: 'added', basis: '' }
    if (!unchanged(limit, origin)) return { nutrient: limit.nutrient, source: origin.source, seen: 'changed', basis: origin.basis }
    return { nutrient: limit.nutrient, source: origin.source, seen: origin.read ? 'read' : 'memory', basis: origin.basis }
  })
}
