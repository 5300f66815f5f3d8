import type { z } from 'zod'
import type { HomeView } from '#contract/home'
import { loadSheetsToFind } from '#features/sheets/sheets-to-find'
import type { Actor } from '#platform/actor'
import type { Db } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'
import type { HeldLots } from './home-lots.js'

type Decision = z.output<typeof HomeView>['decide'][number]
const SHOWN = 20

const versions = async (db: Db, actor: Actor): Promise<Decision[]> => {
  const rows = await db.formulaVersion.findMany({
    // Nobody approves what they wrote or submitted themselves.
    where: { status: 'submitted', authorId: { not: actor.userId }, submittedBy: { not: actor.userId } },
    include: { formula: true, author: { select: { name: true } } },
    orderBy: { submittedAt: 'asc' },
    take: SHOWN,
  })
  return rows.map(({ id, formulaId, version, formula, author }) => ({
    kind: 'approve-version',
    id,
    label: `${formula.nameEn} v${version}`,
    detail: { formulaId, nameEn: formula.nameEn, nameSw: formula.nameSw, version, author: author.name },
  }))
}

const lots = ({ toDecide }: HeldLots): Decision[] =>
  toDecide.map(({ id, number, ingredientNameEn, ingredientNameSw, kg }) => ({
    kind: 'release-lot',
    id,
    label: String(number),
    detail: { number, nameEn: ingredientNameEn, nameSw: ingredientNameSw, kg },
  }))

const discrepancies = async (db: Db): Promise<Decision[]> => {
  const rows = await db.discrepancy.findMany({
    where: { closedAt: null },
    include: { batch: { select: { number: true } }, lot: { select: { number: true } } },
    orderBy: { number: 'desc' },
    take: SHOWN,
  })
  return rows.map(({ id, number, kind, batch, lot, facts }) => ({
    kind: 'discrepancy',
    id,
    label: String(number),
    detail: { number, discrepancy: kind, batchNumber: batch?.number ?? null, lotNumber: lot?.number ?? null, ...weights(facts) },
  }))
}

// "Load 209: 84.6, not 82.0": what was weighed and what was meant.
const weights = (facts: unknown): { actualKg?: string; targetKg?: string } => {
  if (typeof facts !== 'object' || facts === null || !('actualKg' in facts) || !('targetKg' in facts)) return {}
  return { actualKg: String(facts.actualKg), targetKg: String(facts.targetKg) }
}

const proposals = async (db: Db, actor: Actor): Promise<Decision[]> => {
  const rows = await db.stockProposal.findMany({
    // Whoever entered it cannot stand for it.
    where: { status: 'waiting', proposedBy: { not: actor.userId } },
    include: { lot: { select: { number: true } } },
    orderBy: { number: 'asc' },
    take: SHOWN,
  })
  return rows.map(({ id, number, kind, lot, differenceKg }) => ({
    kind: 'stock-proposal',
    id,
    label: String(number),
    detail: { number, of: kind, lotNumber: lot.number, differenceKg: differenceKg.toFixed(3) },
  }))
}

const orders = async (db: Db): Promise<Decision[]> => {
  const rows = await db.order.findMany({
    where: { status: 'ordered' },
    include: { member: { select: { name: true } }, formulaVersion: { include: { formula: true } } },
    orderBy: [{ dueOn: 'asc' }, { number: 'asc' }],
    take: SHOWN,
  })
  return rows.map(({ id, number, kg, dueOn, member, formulaVersion: { formula } }) => ({
    kind: 'plan-order',
    id,
    label: String(number),
    detail: { number, nameEn: formula.nameEn, nameSw: formula.nameSw, kg: kg.toFixed(3), dueOn: plainDate(dueOn), member: member.name },
  }))
}

// One line a kind: which sheet is missing is found in the drawer and the list, pile by pile.
const sheets = async (db: Db, now: Date): Promise<Decision[]> =>
  (await loadSheetsToFind(db, now)).map(({ kind, codes, printedAt }) => ({
    kind: 'find-sheets',
    id: kind,
    label: codes[0] ?? '',
    detail: { of: kind, first: codes[0] ?? '', count: codes.length, printedAt: printedAt.toISOString() },
  }))

/** What waits for this person's decision: only what their role may decide. */
export const loadDecisions = async (db: Db, actor: Actor, { held, now }: { held: HeldLots; now: Date }): Promise<Decision[]> => {
  if (actor.role === 'nutritionist') return versions(db, actor)
  if (actor.role === 'laboratory') return lots(held)
  if (actor.role !== 'manager') return []
  return [
    ...(await versions(db, actor)),
    ...lots(held),
    ...(await discrepancies(db)),
    ...(await proposals(db, actor)),
    ...(await orders(db)),
    ...(await sheets(db, now)),
  ]
}
