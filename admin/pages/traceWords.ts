import type { z } from 'zod'
import type { TraceView } from '#contract/tracing'
import { formatKg } from '../format/numbers'
import type { Translate } from '../i18n/translate'
import type { StaffKey } from '../i18n/words'
import type { TraceLink, TraceNode } from '../ui/pictures/traceLayout'

export type Trace = z.output<typeof TraceView>
type Node = Trace['nodes'][number]
type T = Translate<StaffKey>

/** What people have a number of; suppliers are reached from their own page. */
export const ASKED_FROM = ['lot', 'batch', 'order', 'member'] as const
export type AskedFrom = (typeof ASKED_FROM)[number]
export const isAskedFrom = (from: string): from is AskedFrom => ASKED_FROM.some((kind) => kind === from)

const PAGES: Readonly<Record<Node['kind'], string>> = {
  supplier: 'suppliers',
  lot: 'lots',
  batch: 'batches',
  order: 'orders',
  member: 'members',
}

/** Thousandths only where tenths would hide grams. */
const kgText = (kg: string): string => formatKg(kg, kg.endsWith('00') ? 1 : 3)

const labelOf = ({ kind, number, label }: Node, t: T): string =>
  kind === 'supplier' ? label : t(`tracing.label.${kind}`, { number: number ?? '', name: label })

/** The boxes of the picture; each leads to its own page where the reader may open it. */
export const traceNodes = ({ nodes }: Trace, { t, opens }: { t: T; opens: (resource: string) => boolean }): TraceNode[] =>
  nodes.map((node) => ({
    id: node.id,
    level: node.kind,
    label: labelOf(node, t),
    kgText: node.kg === null ? '' : formatKg(node.kg),
    href: opens(PAGES[node.kind]) ? `#/${PAGES[node.kind]}/${node.id.slice(node.kind.length + 1)}/show` : undefined,
  }))

export const traceLinks = ({ edges }: Trace): TraceLink[] =>
  edges.map(({ from, to, kg, certain }) => ({ from, to, kg: Number(kg), kgText: kgText(kg), certain }))

/** The answer as one sentence, from what was asked. */
export const traceTold = ({ asked, totals }: Trace, t: T): string => {
  const facts = {
    number: asked.label,
    lots: t('tracing.count.lots', { smart_count: totals.lots }),
    loads: t('tracing.count.loads', { smart_count: totals.batches }),
    orders: t('tracing.count.orders', { smart_count: totals.orders }),
    members: t('tracing.count.members', { smart_count: totals.members }),
  }
  switch (asked.kind) {
    case 'lot':
      return t('tracing.lotTold', facts)
    case 'batch':
      return t('tracing.batchTold', facts)
    case 'order':
      return t('tracing.orderTold', facts)
    case 'member':
      return t('tracing.memberTold', facts)
    default:
      return t('tracing.supplierTold', facts)
  }
}
