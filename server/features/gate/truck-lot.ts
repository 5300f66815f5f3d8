import type { GatePriceBody } from '#contract/gate-price'
import { checkAssay } from '#core/composition/analytes'
import type { Assay } from '#core/composition/assays'
import type { BookValue } from '#core/composition/book'
import { fieldError, MillError, type FieldError } from '#core/errors'
import { figuresOf, QUICK_TESTS } from '#core/laboratory/quick-tests'
import { formatKg, grams, gramsFromFloatKg, readKg, type Grams } from '#core/quantity/mass'
import { keepingOf, type Keeping } from '#core/receiving/keeping'
import type { Finding } from '#core/safety/finding'
import { kgAfterDrying } from '#core/milling/dry-matter'
import { MAX_DELIVERY_KG } from '#contract/quantities'
import { loadBook } from '#features/ingredients/book'
import { loadAssayErrors, loadKnowledge, type Knowledge } from '#features/lots/load-beliefs'
import { lotBesideStore, NEXT_NUMBER, type MixLot } from '#features/lots/lots-for-mix'
import { NOT_THE_MILL } from '#features/lots/mill-supplier'
import type { Db, Prisma } from '#platform/database/client'

/** A lot that stands at the gate, as a lot of the store would be believed and kept. */
export type Truck = {
  readonly lot: MixLot
  readonly mass: Grams
  readonly keeping: Keeping | null
  readonly book: readonly BookValue[]
  /** The same goods at another moisture: what is left of them, and at the price of as much money. */
  readonly dried: (moisturePct: number) => Truck
}

/** No lot of the database has this id; it never leaves the question. */
export const TRUCK_ID = 'truck'

const fault = (path: string, code: string, message: string, facts = {}): FieldError => ({ path, code, message, facts })

const massOf = ({ kg, bags, bagKg }: GatePriceBody): Grams => {
  if (kg !== null) return readKg(kg) ?? grams(Number.NaN)
  if (bags === null || bagKg === null) throw fieldError('bad-input', 'kg', 'needed', 'the kilograms, or how many bags and kilograms a bag')
  const together = (readKg(bagKg) ?? Number.NaN) * bags
  if (together <= MAX_DELIVERY_KG * 1000) return grams(together)
  const facts = { max: MAX_DELIVERY_KG, unit: 'kg' }
  throw new MillError('bad-input', {}, [fault('bags', 'above-possible', `at most ${MAX_DELIVERY_KG} kg in all`, facts)])
}

type Means = Pick<Assay, 'value' | 'belowDetection' | 'sd' | 'method' | 'reading'>

const resultOf = (analyte: string, day: string, means: Means): Assay => ({
  analyte,
  unit: '%',
  laboratory: 'at the gate',
  measuredOn: day,
  ...means,
})

/** Sand sinks in a jar, or was burnt in a laboratory; each answers with its own error. */
const sandMeans = ({ sandMethod }: GatePriceBody, value: number): Means => {
  if (sandMethod === 'laboratory') return { value, belowDetection: false, sd: null, method: 'acid-insoluble ash' }
  const test = QUICK_TESTS['sand-jar']
  return { ...figuresOf(test, { reading: 'figure', value, detectionLimit: null }), method: test.method }
}

const ureaMeans = (reading: 'none-found' | 'found'): Means => {
  const test = QUICK_TESTS['urea-test']
  return { ...figuresOf(test, { reading, value: 0, detectionLimit: null }), method: test.method, reading }
}

/** Quick results as assays; where their method states no error of its own the published table has one (`assay_error.csv`). */
const assaysOf = (input: GatePriceBody, day: string): Assay[] => [
  ...(input.proteinPct === null
    ? []
    : [resultOf('CP', day, { value: input.proteinPct, belowDetection: false, sd: null, method: input.proteinMethod })]),
  ...(input.sandPct === null ? [] : [resultOf('AIA', day, sandMeans(input, input.sandPct))]),
  ...(input.urea === null ? [] : [resultOf('urea', day, ureaMeans(input.urea))]),
]

const PATHS: Readonly<Record<string, string>> = { CP: 'proteinPct', AIA: 'sandPct' }

/** Water, sand and protein are parts of one whole: each has at most what those before it leave. */
const wholeFaults = ({ moisturePct, sandPct, proteinPct }: GatePriceBody): FieldError[] => {
  const besideWater = 100 - (moisturePct ?? 0)
  const besideSand = besideWater - (sandPct ?? 0)
  const tooMuch = (path: string, max: number) => [fault(path, 'above-possible', `at most ${max} % beside the rest`, { max, unit: '%' })]
  if (besideSand < 0) return tooMuch('sandPct', besideWater)
  return (proteinPct ?? 0) > besideSand ? tooMuch('proteinPct', besideSand) : []
}

/** Refuses results that no lot of this kind can have. One that only looks odd is told with the answer, which shows what is believed. */
const checkResults = (input: GatePriceBody, assays: readonly Assay[], book: readonly BookValue[]): void => {
  const single = assays.flatMap(({ analyte, value, unit }) => {
    const checked = checkAssay({ analyte, value, unit }, book)
    return checked.kind === 'error' ? [fault(PATHS[analyte] ?? analyte, checked.code, 'a possible figure', checked.facts)] : []
  })
  const faults = single.length > 0 ? single : wholeFaults(input)
  if (faults.length > 0) throw new MillError('bad-input', {}, faults)
}

const knowledgeOf = async (db: Db, { supplierId, ingredientId }: GatePriceBody): Promise<Knowledge> => {
  if (supplierId === null)
    return { book: (await loadBook(db)).get(ingredientId), assayErrors: await loadAssayErrors(db), supplierRecord: undefined }
  if ((await db.supplier.findUnique({ where: { id: supplierId, ...NOT_THE_MILL }, select: { id: true } })) === null)
    throw fieldError('supplier-unknown', 'supplierId', 'unknown', 'there is no such supplier')
  const asked = [{ id: TRUCK_ID, supplierId, ingredientId, number: NEXT_NUMBER }]
  const known = (await loadKnowledge(db, asked)).get(TRUCK_ID)
  if (known === undefined) throw new Error('nothing is known of a lot that was asked about')
  return known
}

type Known = {
  readonly row: Prisma.IngredientGetPayload<object>
  readonly knowledge: Knowledge
  readonly assays: readonly Assay[]
}
type Load = { readonly mass: Grams; readonly pricePerKg: string; readonly moisturePct: number | null }

const truckOf = (known: Known, load: Load): Truck => {
  const { row, knowledge, assays } = known
  const { id: ingredientId, category, shelfLifeDays } = row
  const lot = lotBesideStore({
    id: TRUCK_ID,
    ingredient: row,
    known: knowledge,
    assays,
    intakeMoisturePct: load.moisturePct,
    pricePerKg: load.pricePerKg,
    freeKg: formatKg(load.mass),
    // what has not come yet cannot have been released, and is before it is used
    status: 'on-hold',
  })
  return {
    lot,
    mass: load.mass,
    keeping: keepingOf({ ingredientId, category, shelfLifeDays, moisturePct: load.moisturePct }),
    book: knowledge.book?.book ?? [],
    dried: (moisturePct) => truckOf(known, driedLoad(load, moisturePct)),
  }
}

const driedLoad = ({ mass, pricePerKg, moisturePct }: Load, to: number): Load => {
  const left = kgAfterDrying(1, moisturePct ?? to, to)
  return { mass: gramsFromFloatKg((mass / 1000) * left), pricePerKg: (Number(pricePerKg) / left).toFixed(4), moisturePct: to }
}

/** The truck as the lot that would come of it: the book, the supplier's record, the meter and the quick results, at the price asked. */
export const loadTruck = async (db: Db, input: GatePriceBody, today: string): Promise<Truck> => {
  const mass = massOf(input)
  const row = await db.ingredient.findUnique({ where: { id: input.ingredientId } })
  if (row === null) throw fieldError('ingredient-unknown', 'ingredientId', 'unknown', 'there is no such ingredient')
  const knowledge = await knowledgeOf(db, input)
  const assays = assaysOf(input, today)
  checkResults(input, assays, knowledge.book?.book ?? [])
  return truckOf({ row, knowledge, assays }, { mass, pricePerKg: Number(input.pricePerKg).toFixed(4), moisturePct: input.moisturePct })
}

const isWet = ({ severity, topic }: Finding): boolean => severity === 'block' && topic === 'moisture'

/** The moisture to which it must be dried before it may be stored or released; null: none. */
export const dryingLimit = (findings: readonly Finding[]): number | null => findings.find(isWet)?.limit?.value ?? null

/** What keeps it out of feed as it stands. A test still to be made is made after unloading, and wet goods are dried first. */
export const standsAgainst = (finding: Finding): boolean =>
  finding.severity === 'block' && finding.what.code !== 'required-test-missing' && !isWet(finding)
