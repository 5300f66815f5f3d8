import { NUTRIENT_IDS } from '#core/composition/nutrients'
import { DEFAULT_SOURCE } from '#core/requirement/requirement-set'

export type RequirementSetCount = { readonly source: string; readonly limits: number; readonly read: number; readonly memory: number }
type RequirementRow = { readonly nutrient: string; readonly source: string; readonly seen: 'read' | 'calc' | 'memory' }

const NUTRIENTS: ReadonlySet<string> = new Set(NUTRIENT_IDS)

/** The published sets of one stage with how many nutrients each limits and how those are known; the mill's own default first. */
export const setsOf = (rows: readonly RequirementRow[]): RequirementSetCount[] => {
  const bySource = new Map<string, Map<string, boolean>>()
  for (const { source, nutrient, seen } of rows) {
    if (!NUTRIENTS.has(nutrient)) continue
    const nutrients = bySource.get(source) ?? new Map<string, boolean>()
    nutrients.set(nutrient, (nutrients.get(nutrient) ?? true) && seen !== 'memory')
    bySource.set(source, nutrients)
  }
  return [...bySource]
    .map(([source, nutrients]) => {
      const read = [...nutrients.values()].filter(Boolean).length
      return { source, limits: nutrients.size, read, memory: nutrients.size - read }
    })
    .sort((a, b) => Number(b.source === DEFAULT_SOURCE) - Number(a.source === DEFAULT_SOURCE) || b.read - a.read || b.limits - a.limits)
}
