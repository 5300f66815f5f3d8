import { NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
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

type Figures = { readonly nutrient: string; readonly source: string; readonly min: number | null; readonly target: number | null }

/** Which nutrients of one set have a target beside their minimum, and which a target alone. */
export const targetsOf = (
  rows: readonly Figures[],
  source: string,
): { readonly beside: readonly NutrientId[]; readonly alone: readonly NutrientId[] } => {
  const having = (minimum: boolean) =>
    NUTRIENT_IDS.filter((id) =>
      rows.some((row) => row.source === source && row.nutrient === id && row.target !== null && (row.min !== null) === minimum),
    )
  return { beside: having(true), alone: having(false) }
}
