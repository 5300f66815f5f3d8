import { NUTRIENTS } from '#core/composition/nutrients'
import { shelfLifeOf } from '#core/receiving/keeping'
import type { Db, Tx } from '#platform/database/client'
import { INGREDIENT_FACES } from './ingredient-names.js'
import { readTable, textOf } from './reference-csv.js'
import {
  BIRD_GROUPS,
  readAssayErrors,
  readIngredients,
  readRequirements,
  readSafetyRules,
  readSources,
  type ReferenceIngredient,
} from './reference-tables.js'

type Row = { readonly [column: string]: string | number | null }
/** The rows of each table, in the order in which they may be written. Members are the columns of the table. */
export type ReferenceRows = { readonly [table in (typeof REFERENCE_TABLES)[number]]: readonly Row[] }
export const REFERENCE_TABLES = [
  'ingredient',
  'source_text',
  'ingredient_value',
  'inclusion_guide',
  'requirement',
  'safety_rule',
  'coccidiostat',
  'assay_error',
] as const

const seenOf = (read: boolean): 'read' | 'memory' => (read ? 'read' : 'memory')

const ingredientRow = ({ key, category, mainQualityRisk, bulkDensityKgPerM3 }: ReferenceIngredient): Row => {
  const face = INGREDIENT_FACES[key]
  if (face === undefined) throw new Error(`The ingredient ${key} of the reference has no name for people`)
  const [name_en, name_sw, pictogram] = face
  const shelf_life_days = shelfLifeOf(key, category)?.days ?? null
  const bulk_density_kg_per_m3 = bulkDensityKgPerM3?.value ?? null
  return { id: key, name_en, name_sw, category, pictogram, shelf_life_days, bulk_density_kg_per_m3, quality_risk: mainQualityRisk }
}

// The reason of a structural zero stands in its provenance source; the table asks for it as a note.
const noteOf = ({ note, knownBy, source }: ReferenceIngredient['book'][number]): string =>
  note ?? (knownBy === 'structural-zero' ? source : '')

const valueRows = ({ key, book }: ReferenceIngredient): Row[] =>
  book.map((entry) => ({
    ingredient_id: key,
    nutrient: entry.nutrient,
    value: entry.value,
    unit: NUTRIENTS[entry.nutrient].unit,
    sd: entry.sd ?? null,
    sd_kind: entry.sdKind ?? null,
    sd_source: entry.sdSource ?? '',
    known_by: entry.knownBy,
    source: entry.source,
    note: noteOf(entry),
  }))

const guideRows = ({ key, maxInclusionPct, maxInclusionReason }: ReferenceIngredient): Row[] =>
  BIRD_GROUPS.map((bird_class) => {
    const { value, knownBy, source } = maxInclusionPct[bird_class]
    return { ingredient_id: key, bird_class, max_pct: value, known_by: knownBy, source, reason: maxInclusionReason }
  })

const requirementRows = (): Row[] =>
  readRequirements().map((row, index) => ({
    id: index + 1,
    stage: row.stage,
    nutrient: row.nutrient,
    unit: row.unit,
    min_value: row.min ?? null,
    target_value: row.target ?? null,
    max_value: row.max ?? null,
    basis: row.basis,
    reference_energy_kcal_per_kg: row.referenceEnergyKcalPerKg ?? null,
    reference_intake_g_per_day: row.referenceIntakeG ?? null,
    source: row.source,
    seen: seenOf(row.read),
    note: row.note,
  }))

const ruleRows = (): Row[] =>
  readSafetyRules().map((rule) => ({
    id: rule.id,
    topic: rule.topic,
    protects: rule.protects,
    item_type: rule.itemType,
    item: rule.item,
    operator: rule.operator,
    limit_text: rule.limit,
    limit_low: rule.low ?? null,
    limit_high: rule.high ?? null,
    unit: rule.unit,
    basis: rule.basis,
    scope: rule.scope,
    flock_glob: rule.flockGlob,
    applies_to: rule.appliesTo,
    condition_note: rule.condition,
    severity: rule.severity,
    action: rule.action,
    jurisdiction: rule.jurisdiction,
    source: rule.source,
    seen: seenOf(rule.read),
    note: rule.note,
  }))

// As printed: a dose "40+40" is one figure for each of two actives, and an empty cell is what the source does not say.
const coccidiostatRows = (): Row[] =>
  readTable('coccidiostats.csv', ['jurisdiction', 'active', 'category', 'legal_status_note', 'seen']).map((row, index) => ({
    id: index + 1,
    jurisdiction: textOf(row, 'jurisdiction'),
    active: textOf(row, 'active'),
    category: textOf(row, 'category'),
    max_age_weeks: textOf(row, 'max_age_weeks'),
    min_mg_per_kg: textOf(row, 'min_mg_per_kg'),
    max_mg_per_kg: textOf(row, 'max_mg_per_kg'),
    withdrawal_days: textOf(row, 'withdrawal_days'),
    may_feed_to_laying_hens: textOf(row, 'may_feed_to_laying_hens'),
    dangerous_to: textOf(row, 'toxic_or_dangerous_to'),
    avoid_with: textOf(row, 'avoid_with'),
    mix_with_others: textOf(row, 'mix_with_other_coccidiostats'),
    label_duty: textOf(row, 'label_duty'),
    legal_note: textOf(row, 'legal_status_note'),
    source: textOf(row, 'source'),
    seen: textOf(row, 'seen'),
  }))

const assayErrorRows = (): Row[] =>
  readAssayErrors().map(({ analyte, method, fromPct, toPct, figure, sdPoints, cvPct, source, read }, index) => ({
    id: index + 1,
    analyte,
    method,
    from_pct: fromPct,
    to_pct: toPct,
    figure,
    sd_points: sdPoints,
    cv_pct: cvPct,
    source,
    seen: seenOf(read),
  }))

/** Everything of `seed/reference` that the database holds, as rows of its tables. */
export const referenceRows = (): ReferenceRows => {
  const ingredients = readIngredients()
  return {
    ingredient: ingredients.map(ingredientRow),
    source_text: [...readSources()].map(([key, citation]) => ({ key, citation })),
    ingredient_value: ingredients.flatMap(valueRows),
    inclusion_guide: ingredients.flatMap(guideRows),
    requirement: requirementRows(),
    safety_rule: ruleRows(),
    coccidiostat: coccidiostatRows(),
    assay_error: assayErrorRows(),
  }
}

// Lots point at ingredients, so those stay, and keep the prices that the mill gave them.
const INGREDIENT_CONFLICT = `ON CONFLICT (id) DO UPDATE SET name_en = excluded.name_en, name_sw = excluded.name_sw, category = excluded.category,
  pictogram = excluded.pictogram, shelf_life_days = excluded.shelf_life_days, bulk_density_kg_per_m3 = excluded.bulk_density_kg_per_m3,
  quality_risk = excluded.quality_risk`

const write = async (tx: Tx, rows: ReferenceRows): Promise<void> => {
  // Two processes that start together take turns.
  await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended('kinu reference', 0))`
  for (const table of REFERENCE_TABLES.toReversed()) if (table !== 'ingredient') await tx.$executeRawUnsafe(`DELETE FROM ${table}`)
  for (const table of REFERENCE_TABLES) {
    const whole = `INSERT INTO ${table} SELECT * FROM jsonb_populate_recordset(NULL::${table}, $1::jsonb)`
    await tx.$executeRawUnsafe(table === 'ingredient' ? `${whole} ${INGREDIENT_CONFLICT}` : whole, JSON.stringify(rows[table]))
  }
}

/**
 * Loads the published tables of `seed/reference` into the database: ingredients with names and pictures, book values, inclusion guides,
 * requirements, safety rules, coccidiostats and the citations. The same again changes nothing. Gives how many rows each table has.
 */
export const loadReference = async (db: Db): Promise<{ readonly [table: string]: number }> => {
  const rows = referenceRows()
  await db.$transaction((tx) => write(tx, rows), { timeout: 60_000, maxWait: 10_000 })
  return Object.fromEntries(REFERENCE_TABLES.map((table) => [table, rows[table].length]))
}
