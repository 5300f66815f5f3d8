import type { FormulaProblem, ProblemIngredient, ProblemNutrient } from '#core/formulation/problem'

/** A seeded source of figures in [0, 1): the same seed gives the same problems on every machine (mulberry32, public domain). */
export function figuresFrom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

export const FAMILIES = ['feasible', 'infeasible', 'degenerate', 'badly-scaled', 'unbounded'] as const
export type Family = (typeof FAMILIES)[number]

type Draw = {
  readonly between: (low: number, high: number) => number
  readonly whole: (low: number, high: number) => number
  readonly chance: (share: number) => boolean
}
export function drawsFrom(seed: number): Draw {
  const next = figuresFrom(seed)
  return {
    between: (low, high) => low + (high - low) * next(),
    whole: (low, high) => low + Math.floor((high - low + 1) * next()),
    chance: (share) => next() < share,
  }
}

/** Two decimals: round enough for ties, which is where solvers differ. */
const round = (value: number): number => Math.round(value * 100) / 100
/** Seven figures, as people write numbers of any size. */
const written = (value: number): number => Number(value.toPrecision(7))

type Blend = { readonly ingredients: readonly ProblemIngredient[]; readonly amounts: readonly number[]; readonly size: number }

/** Ingredients and one mix of them, around which limits can be set so that they hold. */
function blendFrom({ between, whole, chance }: Draw, nutrients: readonly string[], figure: (low: number, high: number) => number): Blend {
  const count = whole(3, 12)
  const size: number = [1, 70, 500, 1000][whole(0, 3)] ?? 1
  const ingredients = Array.from({ length: count }, (_, i): ProblemIngredient => ({
    id: `i${i}`,
    cost: figure(1, 100),
    nutrients: Object.fromEntries(nutrients.map((id) => [id, chance(0.2) ? 0 : figure(0.1, 60)])),
  }))
  const shares = ingredients.map((): number => (chance(0.35) ? 0 : between(0.05, 1)))
  if (!shares.some((share) => share > 0)) shares[0] = 1
  const total = shares.reduce((sum, share) => sum + share, 0)
  return { ingredients, amounts: shares.map((share) => (share * size) / total), size }
}

const nutrientIds = (count: number): readonly string[] => Array.from({ length: count }, (_, j) => `n${j}`)
const massOf = ({ ingredients, amounts }: Blend, id: string): number =>
  ingredients.reduce((sum, one, i) => sum + (one.nutrients?.[id] ?? 0) * (amounts[i] ?? 0), 0)

/** Limits around what the mix holds; `slack` of 0 puts them on it. */
function around(draw: Draw, blend: Blend, id: string, slack: number): ProblemNutrient {
  const held = massOf(blend, id) / blend.size
  return {
    id,
    basis: 'concentration',
    ...(draw.chance(0.75) ? { min: held * (1 - slack * draw.between(0, 1)) } : {}),
    ...(draw.chance(0.45) ? { max: held * (1 + slack * draw.between(0, 1)) } : {}),
  }
}

function feasible(draw: Draw): FormulaProblem {
  const ids = nutrientIds(draw.whole(1, 6))
  const blend = blendFrom(draw, ids, (low, high) => round(draw.between(low, high)))
  return {
    batch: { size: blend.size, relation: draw.chance(0.75) ? '=' : '>=' },
    ingredients: blend.ingredients.map((one, i) => {
      const held = blend.amounts[i] ?? 0
      return { ...one, ...(draw.chance(0.25) ? { max: round(held * 1.3 + 1) } : {}), ...(draw.chance(0.1) ? { min: held * 0.5 } : {}) }
    }),
    nutrients: ids.map((id) => around(draw, blend, id, 0.3)),
    ratios:
      ids.length > 1 && draw.chance(0.3) && massOf(blend, 'n1') > 0
        ? [{ id: 'r', numerator: { n0: 1 }, denominator: { n1: 1 }, max: (1.1 * massOf(blend, 'n0')) / massOf(blend, 'n1') + 0.01 }]
        : [],
  }
}

/** A feasible problem and a limit more, out of reach of every mix, of the mixes that keep another limit, or of the amounts allowed. */
function infeasible(draw: Draw): FormulaProblem {
  const problem = feasible(draw)
  const [first] = problem.nutrients ?? []
  const contents = problem.ingredients.map((one) => one.nutrients?.['n0'] ?? 0)
  const richest = Math.max(...contents)
  const rest = (problem.nutrients ?? []).slice(1)
  const size = problem.batch?.size ?? 1
  switch (draw.whole(0, 2)) {
    case 0:
      return { ...problem, nutrients: [...rest, { id: 'n0', basis: 'concentration', min: richest * draw.between(1.02, 1.5) + 0.01 }] }
    case 1:
      return {
        ...problem,
        nutrients: [...rest, { id: 'n0', basis: 'concentration', min: richest * 0.9 + 0.01, max: first?.max }],
        linear: [
          {
            id: 'rich',
            coefs: Object.fromEntries(problem.ingredients.flatMap(({ id }, i) => ((contents[i] ?? 0) > richest * 0.5 ? [[id, 1]] : []))),
            max: size * 0.1,
          },
        ],
        ingredients: problem.ingredients.map(({ max: _max, min: _min, ...one }) => one),
        batch: { size, relation: '=' },
      }
    default:
      return {
        ...problem,
        ingredients: problem.ingredients.map(({ min: _min, ...one }) => ({ ...one, max: (size * 0.9) / problem.ingredients.length })),
      }
  }
}

/** Ties everywhere: few different figures, ingredients that stand twice, limits that meet in one point. */
function degenerate(draw: Draw): FormulaProblem {
  const ids = nutrientIds(draw.whole(2, 6))
  const blend = blendFrom(draw, ids, (low, high) => draw.whole(Math.ceil(low), Math.min(6, Math.floor(high))))
  const twins = blend.ingredients.slice(0, draw.whole(0, 3)).map((one) => ({ ...one, id: `${one.id}b` }))
  return {
    batch: { size: blend.size, relation: '=' },
    ingredients: [...blend.ingredients, ...twins],
    nutrients: ids.map((id) => around(draw, blend, id, 0)),
    linear: [{ id: 'all', coefs: Object.fromEntries(blend.ingredients.map(({ id }) => [id, 1])), max: blend.size }],
  }
}

/** Totals without a batch, in units from millionths to millions, of ingredients by the gram and by the tonne. */
function badlyScaled(draw: Draw): FormulaProblem {
  const ids = nutrientIds(draw.whole(1, 6))
  const blend = blendFrom(draw, ids, (low, high) => draw.between(low, high))
  const rows = new Map(ids.map((id) => [id, 10 ** draw.whole(-6, 6)]))
  const columns = blend.ingredients.map(() => 10 ** draw.whole(-4, 4))
  const beyond = draw.chance(0.3)
  const ingredients = blend.ingredients.map((one, i): ProblemIngredient => {
    const by = columns[i] ?? 1
    return {
      id: one.id,
      cost: written(one.cost * by),
      nutrients: Object.fromEntries(ids.map((id) => [id, written((one.nutrients?.[id] ?? 0) * by * (rows.get(id) ?? 1))])),
      ...(draw.chance(0.4) || beyond ? { max: written(((blend.amounts[i] ?? 0) * 1.5 + 0.01 * blend.size) / by) } : {}),
    }
  })
  const nutrients = ids.map((id): ProblemNutrient => {
    const held = massOf(blend, id) * (rows.get(id) ?? 1)
    return {
      id,
      basis: 'total',
      ...(draw.chance(0.8) ? { min: written(held * draw.between(0.6, 0.99)) } : {}),
      ...(draw.chance(0.4) ? { max: written(held * draw.between(1.01, 1.6)) } : {}),
    }
  })
  const most = beyond ? ingredients.reduce((sum, { nutrients: has, max = 0 }) => sum + (has?.['n0'] ?? 0) * max, 0) : 0
  return {
    ingredients,
    nutrients: beyond ? [...nutrients.slice(1), { id: 'n0', basis: 'total', min: written(most * 1.01 + 1e-6) }] : nutrients,
  }
}

/** A batch without an upper end and something that pays for being used, in some of them held by a limit after all. */
function unbounded(draw: Draw): FormulaProblem {
  const problem = feasible(draw)
  const payer = draw.whole(0, problem.ingredients.length - 1)
  return {
    ...problem,
    batch: { size: problem.batch?.size ?? 1, relation: '>=' },
    ratios: [],
    nutrients: (problem.nutrients ?? []).map((nutrient, j) => (draw.chance(0.5) && j > 0 ? nutrient : { ...nutrient, max: undefined })),
    ingredients: problem.ingredients.map(({ max, ...one }, i) => ({
      ...one,
      ...(i !== payer && max !== undefined ? { max } : {}),
      cost: i === payer ? -one.cost : one.cost,
    })),
  }
}

/** The problem of a number; families take turns. */
export function randomProblem(seed: number): { readonly family: Family; readonly problem: FormulaProblem } {
  const family = FAMILIES[seed % FAMILIES.length] ?? 'feasible'
  const draw = drawsFrom(20_261_125 + seed)
  const made = { feasible, infeasible, degenerate, 'badly-scaled': badlyScaled, unbounded }[family]
  return { family, problem: made(draw) }
}
