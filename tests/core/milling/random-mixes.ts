import type { NutrientId } from '#core/composition/nutrients'
import type { FormulaLimits, NutrientLimit } from '#core/formulation/limits'
import { contentOf, isKnown } from '#core/formulation/mix-lot'
import type { LoadLot, LoadsRequest } from '#core/milling/make-loads'
import type { AddingRole } from '#core/milling/round-load'
import { grams } from '#core/quantity/mass'

/** A stream of numbers in [0, 1) that is the same on every machine (a linear congruential generator, constants of Numerical Recipes, from memory). */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 32
  }
}

type Kind = {
  readonly id: string
  readonly role: AddingRole
  readonly price: number
  readonly bagKg: number
  readonly share: number
  readonly contents: { readonly [nutrient in NutrientId]?: number }
}
/** Kinds of ingredients with round contents, and shares that feed poultry; no source: they only have to be of usual sizes. */
const KINDS: readonly Kind[] = [
  {
    id: 'maize',
    role: 'grain',
    price: 42,
    bagKg: 90,
    share: 50,
    contents: { CP: 8.5, AME: 3350, Ca: 0.02, Lys: 0.25, Met: 0.18, CF: 2.2 },
  },
  {
    id: 'pollard',
    role: 'other',
    price: 30,
    bagKg: 50,
    share: 12,
    contents: { CP: 15.5, AME: 2000, Ca: 0.12, Lys: 0.6, Met: 0.22, CF: 7.5 },
  },
  { id: 'soya', role: 'protein', price: 95, bagKg: 50, share: 20, contents: { CP: 44, AME: 2450, Ca: 0.3, Lys: 2.7, Met: 0.6, CF: 6 } },
  { id: 'fish', role: 'protein', price: 130, bagKg: 50, share: 4, contents: { CP: 60, AME: 2800, Ca: 5, Lys: 4.4, Met: 1.6, CF: 0.5 } },
  { id: 'oil', role: 'liquid', price: 205, bagKg: 20, share: 2, contents: { CP: 0, AME: 8500, Ca: 0, Lys: 0, Met: 0, CF: 0 } },
  { id: 'limestone', role: 'mineral', price: 11, bagKg: 50, share: 6, contents: { CP: 0, AME: 0, Ca: 37, Lys: 0, Met: 0, CF: 0 } },
  { id: 'methionine', role: 'micro', price: 630, bagKg: 25, share: 0.2, contents: { CP: 58, AME: 4000, Ca: 0, Lys: 0, Met: 98, CF: 0 } },
  { id: 'premix', role: 'micro', price: 320, bagKg: 25, share: 0.25, contents: { CP: 0, AME: 0, Ca: 10, Lys: 0, Met: 0, CF: 0 } },
]
const LIMITED: readonly NutrientId[] = ['CP', 'AME', 'Ca', 'Lys', 'Met', 'CF']

/** A request for loads from one to three lots of each kind, with limits around a mix that a scale without steps could weigh. */
export function randomRequest(seed: number): LoadsRequest {
  const random = randomFrom(seed * 7919 + 17)
  const between = (low: number, high: number): number => low + (high - low) * random()
  const pick = <T>(...of: readonly [T, ...T[]]): T => of[Math.floor(random() * of.length)] ?? of[0]
  const certain = random() < 0.35
  const loadKg = pick(50, 70, 120, 333.3, 500, 1000)
  const loads = Array.from({ length: pick(1, 1, 2, 3) }, () => grams(Math.round(loadKg * 1000)))
  const lots = KINDS.flatMap((kind): LoadLot[] =>
    Array.from({ length: pick(1, 2, 3) }, (_, n) => ({
      id: `${kind.id}-${n}`,
      ingredientId: kind.id,
      role: kind.role,
      isDrug: false,
      pricePerKg: Math.round(kind.price * between(0.95, 1.05) * 100) / 100,
      freeKg: Math.round(((kind.share * loadKg * loads.length) / 100) * between(0.9, 6) * 1000) / 1000,
      bag: random() < 0.7 ? grams(kind.bagKg * 1000) : null,
      contents: Object.fromEntries(Object.entries(kind.contents).map(([id, value]) => [id, value * between(0.95, 1.05)])),
      spreads: certain
        ? Object.fromEntries(
            Object.entries(kind.contents).map(([id, value]) => [
              id,
              { own: value * between(0.02, 0.06), shared: { [kind.id]: value * 0.02 } },
            ]),
          )
        : undefined,
    })),
  )
  const shares = KINDS.map(({ share }) => share * between(0.8, 1.2))
  const whole = shares.reduce((sum, share) => sum + share, 0)
  const meanOf = (nutrient: NutrientId): number =>
    KINDS.reduce((sum, kind, i) => {
      const ofKind = lots.filter((lot) => lot.ingredientId === kind.id).map((lot) => contentOf(lot.contents, nutrient))
      const mean = ofKind.reduce<number>((total, content) => total + (isKnown(content) ? content : Number.NaN), 0) / ofKind.length
      return sum + ((shares[i] ?? 0) / whole) * mean
    }, 0)
  const nutrients = LIMITED.map((nutrient): NutrientLimit => {
    const mean = meanOf(nutrient)
    const certainty = certain && nutrient === 'CP' ? 0.9 : undefined
    if (nutrient === 'CF') return { nutrient, max: mean * between(1, 1.2) }
    if (nutrient === 'Ca') return { nutrient, min: mean * between(0.96, 0.99), max: mean * between(1.01, 1.1) }
    return { nutrient, min: mean * between(0.9, 0.97), certainty }
  })
  const limits: FormulaLimits = {
    nutrients,
    ratios: random() < 0.5 ? [{ id: 'lys-met', numerator: 'Lys', denominator: 'Met', min: (meanOf('Lys') / meanOf('Met')) * 0.8 }] : [],
    ingredients: [
      { ingredientId: 'premix', minPct: 0.25, maxPct: 0.25 },
      { ingredientId: 'fish', maxPct: 8 },
    ],
    groups: [{ id: 'bulky', ingredientIds: ['pollard'], maxPct: 30 }],
  }
  const scales = { floorStep: grams(pick(50, 100, 500)), tableStep: grams(pick(1, 5, 10)), tableMax: grams(pick(2000, 6000, 10_000)) }
  return { lots, limits, loads, scales, search: { timeLimitMs: 10_000, relativeGap: 1e-4 } }
}
