import { grams, sumGrams, type Grams } from '../quantity/mass.js'

/** One step of feed on its way: so many grams went from one thing to another. Not certain: planned, or still in the mill. */
export type TraceEdge = { readonly from: string; readonly to: string; readonly mass: Grams; readonly certain: boolean }
export type TraceGraph = { readonly nodes: ReadonlySet<string>; readonly edges: readonly TraceEdge[] }

const neighbours = (edges: readonly TraceEdge[], end: 'from' | 'to'): ReadonlyMap<string, readonly TraceEdge[]> => {
  const byNode = new Map<string, TraceEdge[]>()
  for (const edge of edges) {
    const list = byNode.get(edge[end])
    if (list === undefined) byNode.set(edge[end], [edge])
    else list.push(edge)
  }
  return byNode
}

const walk = (edges: readonly TraceEdge[], asked: string, near: 'from' | 'to', far: 'from' | 'to'): TraceEdge[] => {
  const byNode = neighbours(edges, near)
  const seen = new Set([asked])
  const passed: TraceEdge[] = []
  const open = [asked]
  for (let node = open.pop(); node !== undefined; node = open.pop()) {
    for (const edge of byNode.get(node) ?? []) {
      passed.push(edge)
      if (!seen.has(edge[far])) {
        seen.add(edge[far])
        open.push(edge[far])
      }
    }
  }
  return passed
}

const merge = (edges: readonly TraceEdge[]): TraceEdge[] => {
  const byEnds = new Map<string, TraceEdge>()
  for (const edge of edges) {
    const key = JSON.stringify([edge.from, edge.to, edge.certain])
    const before = byEnds.get(key)
    byEnds.set(key, before === undefined ? edge : { ...edge, mass: sumGrams([before.mass, edge.mass]) })
  }
  return [...byEnds.values()]
}

/**
 * What the asked thing came from and what it went into: every edge that can be followed forward from it, and every edge
 * that can be followed backward, but not what merely shares a batch with it. Edges with the same ends and certainty are
 * added up, exactly, in grams. Ends on cycles (rework). A thing without edges is a graph of itself alone.
 */
export const traceGraph = (edges: readonly TraceEdge[], asked: string): TraceGraph => {
  const merged = merge(edges)
  const kept = new Set([...walk(merged, asked, 'to', 'from'), ...walk(merged, asked, 'from', 'to')])
  const nodes = new Set([asked])
  for (const edge of kept) nodes.add(edge.from).add(edge.to)
  return { nodes, edges: merged.filter((edge) => kept.has(edge)) }
}

export type LotMasses = { readonly received: Grams; readonly used: Grams; readonly onHand: Grams; readonly other: Grams }

/** What of a received lot is not explained: received = used + on hand + other (counts, write-offs, returns), to the gram; 0 when it adds up. */
export const unexplainedOf = ({ received, used, onHand, other }: LotMasses): Grams => grams(received - used - onHand - other)
