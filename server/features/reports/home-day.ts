import type { z } from 'zod'
import type { HomeView } from '#contract/home'
import { birdPictogram } from '#features/production/stage-words'
import type { Actor } from '#platform/actor'
import type { Db } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'

type Home = z.output<typeof HomeView>
const SHOWN = 20
const formula = { formulaVersion: { select: { formula: { select: { nameEn: true, nameSw: true, stage: true } } } } } as const
type Fed = { formulaVersion: { formula: { nameEn: string; nameSw: string; stage: string } } }
const feedNames = ({ formulaVersion }: Fed) => ({ feedNameEn: formulaVersion.formula.nameEn, feedNameSw: formulaVersion.formula.nameSw })

/** The loads that wait or are on the scales, first to weigh first, and how many were finished since the day began. */
export const loadLoads = async (db: Db, dayStart: Date): Promise<Pick<Home, 'loads' | 'loadsDone'>> => {
  const rows = await db.batch.findMany({
    where: { OR: [{ status: { in: ['planned', 'being-weighed'] } }, { status: 'on-hold', finishedAt: null }] },
    include: { order: { select: { ...formula, dueOn: true } } },
    orderBy: [{ startedAt: { sort: 'asc', nulls: 'last' } }, { order: { dueOn: 'asc' } }, { number: 'asc' }],
    take: SHOWN,
  })
  const loads = rows.map((row) => ({
    id: row.id,
    number: row.number,
    ...feedNames(row.order),
    loadKg: row.loadKg.toFixed(3),
    status: row.status,
    medicated: row.medication !== null,
    pictogram: birdPictogram(row.order.formulaVersion.formula.stage),
  }))
  return { loads, loadsDone: await db.batch.count({ where: { finishedAt: { gte: dayStart } } }) }
}

export const loadToHandOver = async (db: Db): Promise<Home['toHandOver']> => {
  const rows = await db.order.findMany({
    where: { status: 'ready' },
    include: { ...formula, member: { select: { name: true } }, batches: { select: { bagsOnHandKg: true } } },
    orderBy: [{ readyAt: 'asc' }, { number: 'asc' }],
    take: SHOWN,
  })
  return rows.map((row) => ({
    id: row.id,
    number: row.number,
    memberName: row.member.name,
    ...feedNames(row),
    kg: row.batches.reduce((sum, { bagsOnHandKg }) => sum.plus(bagsOnHandKg), row.kg.minus(row.kg)).toFixed(3),
    readyAt: row.readyAt?.toISOString() ?? null,
  }))
}

/** Orders that still wait for something; a member's own only. */
export const loadOpenOrders = async (db: Db, actor: Actor): Promise<Home['orders']> => {
  const rows = await db.order.findMany({
    where: {
      status: { in: ['ordered', 'planned', 'being-mixed', 'ready'] },
      // A member's login without a member sees nothing rather than everything.
      ...(actor.role === 'member' ? { member: { users: { some: { id: actor.userId } } } } : {}),
    },
    include: { ...formula, member: { select: { name: true } } },
    orderBy: [{ dueOn: 'asc' }, { number: 'asc' }],
    take: SHOWN,
  })
  return rows.map((row) => ({
    id: row.id,
    number: row.number,
    memberName: row.member.name,
    ...feedNames(row),
    kg: row.kg.toFixed(3),
    dueOn: plainDate(row.dueOn),
    status: row.status,
  }))
}

export const loadFormulas = async (db: Db): Promise<Home['formulas']> => {
  const rows = await db.formulaVersion.findMany({
    where: { status: { in: ['approved', 'submitted'] } },
    include: { formula: { select: { nameEn: true, nameSw: true } } },
    orderBy: [{ status: 'desc' }, { formula: { nameEn: 'asc' } }],
    take: SHOWN,
  })
  return rows.map((row) => ({
    id: row.id,
    formulaId: row.formulaId,
    nameEn: row.formula.nameEn,
    nameSw: row.formula.nameSw,
    version: row.version,
    status: row.status,
    pricePerKg: row.pricePerKg?.toFixed(4) ?? null,
  }))
}
