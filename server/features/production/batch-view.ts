import { z } from 'zod'
import { FindingView } from '#contract/findings'
import { BATCH_STATUSES, type BatchDetailView, type BatchLineView, type BatchView } from '#contract/production'
import { MillError } from '#core/errors'
import { bagsAndRest, fullBagOf } from '#core/milling/full-bag'
import { formatKg, parseKg } from '#core/quantity/mass'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'

export const withFacts = {
  mixer: { select: { name: true } },
  order: {
    select: {
      number: true,
      member: { select: { name: true } },
      formulaVersion: { select: { formula: { select: { nameEn: true, nameSw: true, stage: true } } } },
      _count: { select: { batches: true } },
    },
  },
} as const satisfies Prisma.BatchInclude
export const withLines = {
  ...withFacts,
  lines: {
    orderBy: [{ part: 'asc' }, { position: 'asc' }],
    include: {
      weighedByUser: { select: { name: true } },
      lot: {
        select: {
          number: true,
          netKg: true,
          bags: true,
          ingredient: { select: { id: true, nameEn: true, nameSw: true, pictogram: true } },
        },
      },
    },
  },
} as const satisfies Prisma.BatchInclude
export type BatchRow = Prisma.BatchGetPayload<{ include: typeof withFacts }>
export type BatchWhole = Prisma.BatchGetPayload<{ include: typeof withLines }>
export type LineRow = BatchWhole['lines'][number]

const Medicine = z.object({ active: z.string(), mgPerKg: z.number() })
export const medicineOf = (medication: unknown): z.output<typeof Medicine> | null =>
  medication === null ? null : Medicine.parse(medication)
export const findingsOf = (findings: unknown): FindingView[] => FindingView.array().parse(findings)

const statusOf = (word: string): (typeof BATCH_STATUSES)[number] => {
  const known = BATCH_STATUSES.find((status) => status === word)
  if (known === undefined) throw new Error(`unknown batch status ${word}`)
  return known
}

export const partOf = (word: string): 'load' | 'pre-blend' => (word === 'load' ? 'load' : 'pre-blend')
/** A weight that was entered and lies outside what the sheet allows. */
export const isOutside = ({
  actualKg,
  allowedLowKg,
  allowedHighKg,
}: Pick<LineRow, 'actualKg' | 'allowedLowKg' | 'allowedHighKg'>): boolean =>
  actualKg !== null && (actualKg.lt(allowedLowKg) || actualKg.gt(allowedHighKg))

export const batchView = (row: BatchRow): z.output<typeof BatchView> => ({
  id: row.id,
  number: row.number,
  orderId: row.orderId,
  orderNumber: row.order.number,
  memberName: row.order.member.name,
  feedNameEn: row.order.formulaVersion.formula.nameEn,
  feedNameSw: row.order.formulaVersion.formula.nameSw,
  stage: row.order.formulaVersion.formula.stage,
  mixerName: row.mixer.name,
  loadOfOrder: row.loadOfOrder,
  loadsOfOrder: row.order._count.batches,
  loadKg: row.loadKg.toFixed(3),
  status: statusOf(row.status),
  statusReason: row.statusReason,
  medication: medicineOf(row.medication),
  plannedAt: row.plannedAt.toISOString(),
  startedAt: row.startedAt?.toISOString() ?? null,
  finishedAt: row.finishedAt?.toISOString() ?? null,
  madeKg: row.madeKg?.toFixed(3) ?? null,
  bestBefore: row.bestBefore === null ? null : plainDate(row.bestBefore),
  bagKg: row.bagKg.toFixed(3),
  bagsOnHandKg: row.bagsOnHandKg.toFixed(3),
  revision: row.revision,
})

type Earlier = ReadonlyMap<string, readonly string[]>
const keyOf = (line: { readonly part: string; readonly position: number }): string => `${line.part} ${line.position}`

// Counted anew from the delivery: the biggest grain stands in two rows, each with its own bags.
const bagsOfLine = ({ lot, targetKg }: LineRow): z.output<typeof BatchLineView>['bags'] => {
  const bag = lot === null ? null : fullBagOf(parseKg(lot.netKg.toFixed(3)), lot.bags)
  const found = bagsAndRest(parseKg(targetKg.toFixed(3)), bag)
  return found && { count: found.count, bagKg: formatKg(found.bag), restKg: formatKg(found.rest) }
}

const lineView = (line: LineRow, batchNumber: number, earlier: Earlier): z.output<typeof BatchLineView> => ({
  part: partOf(line.part),
  position: line.position,
  lotId: line.lotId,
  lotNumber: line.lot?.number ?? null,
  ingredientId: line.lot?.ingredient.id ?? null,
  nameEn: line.lot?.ingredient.nameEn ?? `Pre-blend ${batchNumber}`,
  nameSw: line.lot?.ingredient.nameSw ?? `Mchanganyiko wa awali ${batchNumber}`,
  pictogram: line.lot?.ingredient.pictogram ?? 'premix-jar',
  scale: line.scale === 'table' ? 'table' : 'floor',
  targetKg: line.targetKg.toFixed(3),
  bags: bagsOfLine(line),
  allowedLowKg: line.allowedLowKg.toFixed(3),
  allowedHighKg: line.allowedHighKg.toFixed(3),
  runningKg: line.runningKg.toFixed(3),
  actualKg: line.actualKg?.toFixed(3) ?? null,
  outside: isOutside(line),
  weighedAt: line.weighedAt?.toISOString() ?? null,
  weighedBy: line.weighedByUser?.name ?? null,
  earlierKg: [...(earlier.get(keyOf(line)) ?? [])],
})

const Corrected = z.object({ part: z.string(), position: z.number(), earlierKg: z.string() })

// A corrected weight lives on in the history of the batch; nothing that was entered is ever silently gone.
const loadEarlier = async (db: Db | Tx, batchId: string): Promise<Earlier> => {
  const entries = await db.auditEntry.findMany({
    where: { entityType: 'batch', entityId: batchId, action: 'batch.weight-corrected' },
    orderBy: { seq: 'asc' },
    select: { facts: true },
  })
  const earlier = new Map<string, string[]>()
  for (const { facts } of entries) {
    const { earlierKg, ...line } = Corrected.parse(facts)
    earlier.set(keyOf(line), [...(earlier.get(keyOf(line)) ?? []), earlierKg])
  }
  return earlier
}

/** `pending`: corrections of this very transaction, whose audit rows are only written at its end. */
export const wholeBatch = async (
  db: Db | Tx,
  id: string,
  pending: readonly z.output<typeof Corrected>[] = [],
): Promise<z.output<typeof BatchDetailView>> => {
  const row = await db.batch.findUnique({ where: { id }, include: withLines })
  if (row === null) throw new MillError('not-found')
  const earlier = new Map(await loadEarlier(db, id))
  for (const { earlierKg, ...line } of pending) earlier.set(keyOf(line), [...(earlier.get(keyOf(line)) ?? []), earlierKg])
  return { ...batchView(row), lines: row.lines.map((line) => lineView(line, row.number, earlier)), findings: findingsOf(row.findings) }
}
