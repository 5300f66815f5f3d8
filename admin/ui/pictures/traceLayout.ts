export const TRACE_LEVELS = ['supplier', 'lot', 'derived', 'batch', 'order', 'member'] as const
export type TraceLevel = (typeof TRACE_LEVELS)[number]

export type TraceNode = {
  readonly id: string
  readonly level: TraceLevel
  readonly label: string
  /** As shown, with unit. */
  readonly kgText: string
  readonly href?: string | undefined
}
export type TraceLink = {
  readonly from: string
  readonly to: string
  readonly kg: number
  readonly kgText: string
  readonly certain: boolean
}

export type PlacedNode = TraceNode & { readonly column: number; readonly row: number; readonly bundled: number }
export type TraceLayout = {
  readonly columns: readonly TraceLevel[]
  readonly nodes: readonly PlacedNode[]
  readonly links: readonly TraceLink[]
  readonly rows: number
}

/** More boxes than this in one column are bundled into the last. */
const MOST_IN_COLUMN = 8

/** Columns in the order of the mill's day; the asked thing always stands among the boxes shown. Links to bundled boxes are added up. */
export const layOutTrace = (nodes: readonly TraceNode[], links: readonly TraceLink[], askedId: string): TraceLayout => {
  const columns = TRACE_LEVELS.filter((level) => nodes.some((node) => node.level === level))
  const standsFor = new Map<string, string>()
  const placed = columns.flatMap((level, column) => {
    const own = nodes.filter((node) => node.level === level).sort((a, b) => Number(b.id === askedId) - Number(a.id === askedId))
    const few = own.length <= MOST_IN_COLUMN
    const shown = few ? own : own.slice(0, MOST_IN_COLUMN - 1)
    const hidden = few ? [] : own.slice(MOST_IN_COLUMN - 1)
    const bundle = `${level}:more`
    shown.forEach((node) => standsFor.set(node.id, node.id))
    hidden.forEach((node) => standsFor.set(node.id, bundle))
    const boxes: PlacedNode[] = shown.map((node, row) => ({ ...node, column, row, bundled: 0 }))
    return hidden.length === 0
      ? boxes
      : [...boxes, { id: bundle, level, label: '', kgText: '', column, row: MOST_IN_COLUMN - 1, bundled: hidden.length }]
  })
  const merged = new Map<string, TraceLink>()
  for (const link of links) {
    const from = standsFor.get(link.from)
    const to = standsFor.get(link.to)
    if (from === undefined || to === undefined) continue
    const key = JSON.stringify([from, to, link.certain])
    const before = merged.get(key)
    merged.set(key, { ...link, from, to, kg: link.kg + (before?.kg ?? 0) })
  }
  return { columns, nodes: placed, links: [...merged.values()], rows: Math.max(...placed.map((node) => node.row + 1), 1) }
}

/** The things nothing led to: where an indented list begins. */
export const rootsOf = (nodes: readonly TraceNode[], links: readonly TraceLink[]): readonly TraceNode[] => {
  const reached = new Set(links.map((link) => link.to))
  return nodes.filter((node) => !reached.has(node.id))
}
