import type { ExplanationView } from '#contract/solving'
import type { FormulaProblem, ProblemNutrient } from '#core/formulation/problem'
import { WORST } from '#core/formulation/row-id'
import type { SolverPool } from '#platform/deps'
import type { PreparedMix } from './prepare-mix.js'

type Means = { readonly pool: SolverPool }

const plain = (id: string): string => (id.endsWith(WORST) ? id.slice(0, -WORST.length) : id)
const isAsked = ({ z = 0 }: ProblemNutrient): boolean => z > 0

const eased = (problem: FormulaProblem, ease: (nutrient: ProblemNutrient) => boolean): FormulaProblem => ({
  ...problem,
  nutrients: problem.nutrients?.map((nutrient) => (ease(nutrient) ? { ...nutrient, z: 0 } : nutrient)),
})

/**
 * What certainty costs: the mix of the same limits at the mean against the mix as it is asked for, and what each limit would save if it
 * alone were held at the mean. Null where no limit asks for certainty.
 */
export const certaintyCosts = async (
  { pool }: Means,
  { problem: { problem }, batchKg, limits }: PreparedMix,
): Promise<ExplanationView['certainty']> => {
  const asked = [...new Set((problem.nutrients ?? []).filter(isAsked).map(({ id }) => plain(id)))]
  if (asked.length === 0) return null
  const costOf = async (some: FormulaProblem): Promise<number | null> => {
    const found = await pool.formulate(some)
    return found.status === 'optimal' ? (found.objective / Number(batchKg)) * 1000 : null
  }
  const [now, atMean, ...each] = await Promise.all([
    costOf(problem),
    costOf(eased(problem, () => true)),
    ...asked.map((nutrient) => costOf(eased(problem, ({ id }) => plain(id) === nutrient))),
  ])
  if (now === null || now === undefined || atMean === null || atMean === undefined) return null
  return {
    costPerTonne: now,
    costAtMeanPerTonne: atMean,
    limits: asked.map((nutrient, i) => ({
      nutrient,
      asked: limits.nutrients.find((limit) => limit.nutrient === nutrient)?.certainty ?? 0.5,
      savesPerTonne: Math.max(0, now - (each[i] ?? now)),
    })),
  }
}
