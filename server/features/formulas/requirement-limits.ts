import type { LimitsBody } from '#contract/formulas'
import { fieldError } from '#core/errors'
import type { NutrientLimit } from '#core/formulation/limits'
import type { RequirementUse } from '#core/formulation/requirement-limit'
import { limitOfOrigin, requirementSet, type LimitOrigin, type RequirementSet } from '#core/requirement/requirement-set'
import { stageOf } from '#core/requirement/stages'
import { isVitaminPremix } from '#core/safety/ingredient-words'
import { loadRequirements } from '#features/requirements/requirement-rows'
import type { Db, Tx } from '#platform/database/client'
import type { LimitSource } from './version-view.js'

type Key = { readonly stage: string; readonly source: string }

const loadSet = async (db: Db | Tx, { stage, source }: Key): Promise<RequirementSet & { readonly known: boolean }> => {
  const rows = await loadRequirements(db, stage)
  return { ...requirementSet(rows, stage, source), known: rows.length > 0 }
}

type Guide = { readonly ingredientId: string; readonly maxPct: number }

/** A premix goes in at its maker's rate, no less and no more. The rate is that of ingredients.csv, 0.5 %, from memory: "follow the maker". */
const fixedAt = ({ ingredientId, maxPct }: Guide): LimitsBody['ingredients'][number] => ({ ingredientId, minPct: maxPct, maxPct })

const premixGuides = async (db: Db | Tx, birdClass: string): Promise<Guide[]> => {
  const guides = await db.inclusionGuide.findMany({
    where: { birdClass, ingredient: { category: 'premix' } },
    orderBy: { ingredientId: 'asc' },
  })
  return guides.filter(({ ingredientId }) => isVitaminPremix(ingredientId))
}

/**
 * The usual highest share of each ingredient that the mill deals in, for the class of birds of the stage. Guidance of the reference tables,
 * most of it from memory; without it the cheapest mix is mostly bran. A vitamin premix stands at its usual rate, whether the mill has one or
 * not: nothing else in the limits asks for vitamins, and the cheapest mix would leave them out.
 */
const usualShares = async (db: Db | Tx, stage: string): Promise<LimitsBody['ingredients']> => {
  const birdClass = stageOf(stage)?.birdClass
  if (birdClass === undefined) return []
  const dealtIn = { OR: [{ lots: { some: {} } }, { replacementPricePerKg: { not: null } }] }
  const guides = await db.inclusionGuide.findMany({ where: { birdClass, ingredient: dealtIn }, orderBy: { ingredientId: 'asc' } })
  const premixes = guides.filter(({ ingredientId }) => isVitaminPremix(ingredientId))
  const [premix] = premixes.length > 0 ? premixes : await premixGuides(db, birdClass)
  const others = guides.filter(({ ingredientId }) => ingredientId !== premix?.ingredientId)
  return [...others.map(({ ingredientId, maxPct }) => ({ ingredientId, maxPct })), ...(premix === undefined ? [] : [fixedAt(premix)])]
}

/**
 * The limits that a draft begins with: those of one published set for the stage, its minima or its targets, and the usual highest shares of
 * ingredients.
 */
export const limitsFromRequirements = async (db: Db | Tx, key: Key, use: RequirementUse): Promise<LimitsBody> => {
  const set = await loadSet(db, key)
  if (!set.known) throw fieldError('bad-input', 'stage', 'unknown', 'no requirement table knows this stage')
  if (set.origins.length === 0) throw fieldError('bad-input', 'requirementSource', 'unknown', 'this source has no limits for the stage')
  const nutrients = set.origins.map((origin) => limitOfOrigin(origin, use))
  return { nutrients, ratios: [], ingredients: await usualShares(db, key.stage), groups: [] }
}

/** Whether the minimum of a limit is a published target, which is as published as a published minimum. */
const isTarget = ({ min }: NutrientLimit, origin: LimitOrigin): boolean =>
  min !== undefined && min === origin.target && (origin.minFromTarget || origin.min !== origin.target)
const unchanged = (limit: NutrientLimit, origin: LimitOrigin): boolean =>
  ((limit.min ?? null) === origin.min || isTarget(limit, origin)) && (limit.max ?? null) === origin.max

/** Where each nutrient limit of a version comes from: its table, read or remembered, or the nutritionist who changed it. */
export const limitSources = async (db: Db | Tx, key: Key, limits: LimitsBody): Promise<LimitSource[]> => {
  const { origins } = await loadSet(db, key)
  return limits.nutrients.map((limit) => {
    const origin = origins.find(({ nutrient }) => nutrient === limit.nutrient)
    if (origin === undefined) return { nutrient: limit.nutrient, source: '', seen: 'added', basis: '', fromTarget: false }
    const { source, basis } = origin
    const known = unchanged(limit, origin)
    const seen = !known ? 'changed' : origin.read ? 'read' : 'memory'
    return { nutrient: limit.nutrient, source, seen, basis, fromTarget: known && isTarget(limit, origin) }
  })
}
