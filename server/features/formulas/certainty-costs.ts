import type { ExplanationView } from '#contract/solving'
import { probabilityOf } from '#core/formulation/normal'
import { WORST } from '#core/formulation/row-id'
import type { SolverPool } from '#platform/deps'
import type { PreparedMix } from './prepare-mix.js'

const plain = (id: string): string => (id.endsWith(WORST) ? id.slice(0, -WORST.length) : id)

/** What certainty costs, in all and for each limit held at the mean alone, of a mix of which some limit asks for it. Null where time ran out. */
export const certaintyCosts = async (
  { pool }: { readonly pool: SolverPool },
  { problem: { problem }, batchKg }: PreparedMix,
): Promise<ExplanationView['certainty']> => {
  const answer = await pool.run('certaintyCost', problem)
  if (answer.kind === 'failed') return null
  const { asAsked, atMean, limits } = answer.value
  if (asAsked.status !== 'optimal' || atMean.status !== 'optimal') return null
  const perTonne = (cost: number): number => (cost / Number(batchKg)) * 1000
  return {
    costPerTonne: perTonne(asAsked.objective),
    costAtMeanPerTonne: perTonne(atMean.objective),
    limits: limits.map(({ nutrient, side, zAsked, saves }) => ({
      nutrient: plain(nutrient),
      side,
      asked: probabilityOf(zAsked),
      savesPerTonne: saves === null ? 0 : Math.max(0, perTonne(saves)),
    })),
  }
}
