import type { FindingView } from '#contract/findings'
import { MillError, type Fact } from '#core/errors'

const factsOf = ({ limit, ...finding }: FindingView): Fact => {
  if (limit === null) return { ...finding, limit }
  const { high, ...rest } = limit
  return { ...finding, limit: high === undefined ? rest : { ...rest, high } }
}

/** A block cannot be overridden: it refuses what was asked, with every blocking finding as it is shown to people. */
export const refuseBlocks = (findings: readonly FindingView[]): void => {
  const blocks = findings.filter(({ severity }) => severity === 'block')
  if (blocks.length > 0) throw new MillError('safety-block', { findings: blocks.map(factsOf) })
}
