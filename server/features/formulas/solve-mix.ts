import type { MixView } from '#contract/formulas'
import type { Formulation } from '#core/formulation/formulate'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { checkKnown } from './check-mix.js'
import { mixView } from './mix-view.js'
import { prepareMix, type PreparedMix, type SolveRequest } from './prepare-mix.js'

export type SolvedMix = PreparedMix & { readonly view: MixView; readonly formulation: Formulation }
export type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }

/** A solution told in the mill's words, with the safety findings on it. */
export const tellMix = ({ now }: Pick<Means, 'now'>, request: SolveRequest, prepared: PreparedMix, formulation: Formulation): SolvedMix => {
  const kg = formulation.status === 'optimal' ? new Map(Object.entries(formulation.amounts)) : null
  const findings = kg === null ? [] : checkKnown(prepared.known, request, { lots: prepared.lots, kg, now })
  return { ...prepared, view: mixView({ ...prepared, formulation }, findings), formulation }
}

/**
 * The cheapest mix of a mass inside limits, from the lots of now: what is free of each, what it is believed to hold, its price.
 * Everything is read before, solved in the pool outside any transaction, and told in the mill's words with the safety findings.
 */
export const solveMix = async (means: Means, request: SolveRequest): Promise<SolvedMix> => {
  const prepared = await prepareMix(means, request)
  return tellMix(means, request, prepared, await means.pool.formulate(prepared.problem.problem))
}
