import { NUTRIENTS } from '#core/composition/nutrients'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { INGREDIENT_FACES, shelfLifeOf } from './ingredient-names.js'
import { readTable, textOf } from './reference-csv.js'
import {
  BIRD_GROUPS,
  readIngredients,
  readRequirements,
  readSafetyRules,
  readSources,
  type ReferenceIngredient,
} from './reference-tables.js'

const seenOf = (read: boolean): 'read' | 'memory' => (read ? 'read' : 'memory')

const ingredientRow = ({ key, category, mainQualityRisk }: ReferenceIngredient): Prisma.IngredientCreateManyInput => {
  const face = INGREDIENT_FACES[key]
  if (face === undefined) throw new Error(`The ingredient ${key} of the reference has no name for people`)
  const [nameEn, nameSw, pictogram] = face
  return {
    id: key,
    nameEn,
    nameSw,
    category,
    pictogram,
    shelfLifeDays: shelfLifeOf(key, category)?.days ?? null,
    qualityRisk: mainQualityRisk,
  }
}

// The reason of a structural zero stands in its provenance source; the table asks for it as a note.
const noteOf = ({ note, knownBy, source, sdSource }: ReferenceIngredient['book'][number]): string =>
  [note ?? (knownBy === 'structural-zero' ? source : ''), sdSource === undefined ? '' : `spread: ${sdSource}`]
    .filter((part) => part !== '')
    .join('; ')

const valueRows = ({ key, book }: ReferenceIngredient): Prisma.IngredientValueCreateManyInput[] =>
  book.map((entry) => ({
    ingredientId: key,
    nutrient: entry.nutrient,
    value: entry.value,
    unit: NUTRIENTS[entry.nutrient].unit,
    sd: entry.sd ?? null,
    knownBy: entry.knownBy,
    source: entry.source,
    note: noteOf(entry),
  }))

const guideRows = ({ key, maxInclusionPct, maxInclusionReason }: ReferenceIngredient): Prisma.InclusionGuideCreateManyInput[] =>
  BIRD_GROUPS.map((birdClass) => ({
    ingredientId: key,
    birdClass,
    maxPct: maxInclusionPct[birdClass].value,
    knownBy: maxInclusionPct[birdClass].knownBy,
    source: maxInclusionPct[birdClass].source,
    reason: maxInclusionReason,
  }))

const requirementRows = (): Prisma.RequirementCreateManyInput[] =>
  readRequirements().map((row, index) => ({
    id: index + 1,
    stage: row.stage,
    nutrient: row.nutrient,
    unit: row.unit,
    minValue: row.min ?? null,
    targetValue: row.target ?? null,
    maxValue: row.max ?? null,
    basis: row.basis,
    referenceEnergyKcalPerKg: row.referenceEnergyKcalPerKg ?? null,
    referenceIntakeGPerDay: row.referenceIntakeG ?? null,
    source: row.source,
    seen: seenOf(row.read),
    note: row.note,
  }))

const ruleRows = (): Prisma.SafetyRuleCreateManyInput[] =>
  readSafetyRules().map(({ limit, low, high, condition, read, ...rule }) => ({
    ...rule,
    limitText: limit,
    limitLow: low ?? null,
    limitHigh: high ?? null,
    conditionNote: condition,
    seen: seenOf(read),
  }))

// As printed: a dose "40+40" is one figure for each of two actives, and an empty cell is what the source does not say.
const coccidiostatRows = (): Prisma.CoccidiostatCreateManyInput[] =>
  readTable('coccidiostats.csv', ['jurisdiction', 'active', 'category', 'legal_status_note', 'seen']).map((row, index) => ({
    id: index + 1,
    jurisdiction: textOf(row, 'jurisdiction'),
    active: textOf(row, 'active'),
    category: textOf(row, 'category'),
    maxAgeWeeks: textOf(row, 'max_age_weeks'),
    minMgPerKg: textOf(row, 'min_mg_per_kg'),
    maxMgPerKg: textOf(row, 'max_mg_per_kg'),
    withdrawalDays: textOf(row, 'withdrawal_days'),
    mayFeedToLayingHens: textOf(row, 'may_feed_to_laying_hens'),
    dangerousTo: textOf(row, 'toxic_or_dangerous_to'),
    avoidWith: textOf(row, 'avoid_with'),
    mixWithOthers: textOf(row, 'mix_with_other_coccidiostats'),
    labelDuty: textOf(row, 'label_duty'),
    legalNote: textOf(row, 'legal_status_note'),
    source: textOf(row, 'source'),
    seen: textOf(row, 'seen'),
  }))

/** Ingredients stay (lots point at them) and keep their prices; everything else of the reference is written anew. */
const write = async (tx: Tx): Promise<ReferenceCounts> => {
  // Two processes that start together take turns.
  await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended('kinu reference', 0))`
  const ingredients = readIngredients()
  const known = new Set((await tx.ingredient.findMany({ select: { id: true } })).map(({ id }) => id))
  const rows = ingredients.map(ingredientRow)
  await tx.ingredient.createMany({ data: rows.filter(({ id }) => !known.has(id)) })
  for (const { id, ...data } of rows) if (known.has(id)) await tx.ingredient.update({ where: { id }, data, select: { id: true } })
  await tx.ingredientValue.deleteMany()
  await tx.inclusionGuide.deleteMany()
  await tx.requirement.deleteMany()
  await tx.safetyRule.deleteMany()
  await tx.coccidiostat.deleteMany()
  await tx.sourceText.deleteMany()
  await tx.sourceText.createMany({ data: [...readSources()].map(([key, citation]) => ({ key, citation })) })
  const values = await tx.ingredientValue.createMany({ data: ingredients.flatMap(valueRows) })
  const guides = await tx.inclusionGuide.createMany({ data: ingredients.flatMap(guideRows) })
  const requirements = await tx.requirement.createMany({ data: requirementRows() })
  const rules = await tx.safetyRule.createMany({ data: ruleRows() })
  const coccidiostats = await tx.coccidiostat.createMany({ data: coccidiostatRows() })
  return {
    ingredients: rows.length,
    values: values.count,
    inclusionGuides: guides.count,
    requirements: requirements.count,
    safetyRules: rules.count,
    coccidiostats: coccidiostats.count,
  }
}

export type ReferenceCounts = {
  readonly [table in 'ingredients' | 'values' | 'inclusionGuides' | 'requirements' | 'safetyRules' | 'coccidiostats']: number
}

/**
 * Loads the published tables of `seed/reference` into the database: ingredients with names and pictures, book values, inclusion guides,
 * requirements, safety rules, coccidiostats and the citations. The same again changes nothing; ingredients keep their prices.
 */
export const loadReference = (db: Db): Promise<ReferenceCounts> => db.$transaction(write, { timeout: 60_000, maxWait: 10_000 })
