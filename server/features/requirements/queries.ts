import {
  CoccidiostatListQuery,
  CoccidiostatView,
  RequirementListQuery,
  RequirementView,
  SafetyRuleListQuery,
  SafetyRuleView,
  StageListQuery,
  StageView,
} from '#contract/requirements'
import { MillView } from '#contract/mill'
import { STAGES } from '#core/requirement/stages'
import type { Prisma } from '#platform/database/client'
import { containing, onlyKeys, onlyNumbers, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { loadMill, millView } from './mill.js'

const seenOf = (word: string): 'read' | 'calc' | 'memory' => (word === 'read' || word === 'calc' ? word : 'memory')

export const listRequirements = query({
  roles: STAFF,
  input: RequirementListQuery,
  output: RequirementView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, stage, nutrient, source, seen }) {
    const where: Prisma.RequirementWhereInput = {
      AND: [
        onlyNumbers(id),
        stage === undefined ? {} : { stage },
        nutrient === undefined ? {} : { nutrient },
        source === undefined ? {} : { source },
        seen === undefined ? {} : { seen },
        q === undefined ? {} : { OR: [{ stage: containing(q) }, { nutrient: containing(q) }, { note: containing(q) }] },
      ],
    }
    const rows = await db.requirement.findMany({ where, orderBy: [{ [sort]: order }, { id: 'asc' }], ...rowsOf({ page, perPage }) })
    const items = rows.map(
      ({ minValue, targetValue, maxValue, referenceIntakeGPerDay, referenceEnergyKcalPerKg: _energy, seen: word, ...row }) => ({
        ...row,
        min: minValue,
        target: targetValue,
        max: maxValue,
        referenceIntakeG: referenceIntakeGPerDay,
        seen: seenOf(word),
      }),
    )
    return { items, total: await db.requirement.count({ where }) }
  },
})

export const listStages = query({
  roles: 'everyone',
  input: StageListQuery,
  output: StageView,
  list: true,
  async run({ db }, { page, perPage, order, q, id }) {
    const wanted = id?.split(',')
    const pairs = await db.requirement.groupBy({ by: ['stage', 'source'], orderBy: [{ stage: 'asc' }, { source: 'asc' }] })
    const sourcesOf = (stage: string): string[] => pairs.filter((pair) => pair.stage === stage).map(({ source }) => source)
    const stages = STAGES.filter(
      (stage) => (wanted === undefined || wanted.includes(stage.id)) && (q === undefined || stage.id.includes(q)),
    )
      .map(({ flockType, fromWeek, toWeek, birdClass, ...stage }) => ({
        id: stage.id,
        flockType,
        fromWeek,
        toWeek,
        birdClass,
        sources: sourcesOf(stage.id),
      }))
      .sort((a, b) => (order === 'asc' ? 1 : -1) * (a.id < b.id ? -1 : 1))
    const { skip, take } = rowsOf({ page, perPage })
    const items = stages.slice(skip, skip + take)
    return { items, total: stages.length }
  },
})

export const listSafetyRules = query({
  roles: STAFF,
  input: SafetyRuleListQuery,
  output: SafetyRuleView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, topic, jurisdiction, severity, seen }) {
    const where: Prisma.SafetyRuleWhereInput = {
      AND: [
        onlyKeys(id),
        topic === undefined ? {} : { topic },
        jurisdiction === undefined ? {} : { jurisdiction },
        severity === undefined ? {} : { severity },
        seen === undefined ? {} : { seen },
        q === undefined
          ? {}
          : { OR: [{ id: containing(q) }, { item: containing(q) }, { topic: containing(q) }, { appliesTo: containing(q) }] },
      ],
    }
    const mill = await loadMill(db)
    const rows = await db.safetyRule.findMany({ where, orderBy: [{ [sort]: order }, { id: 'asc' }], ...rowsOf({ page, perPage }) })
    const items = rows.map((row) => ({
      ...row,
      limit: row.limitText,
      severity: row.severity === 'block' ? ('block' as const) : ('warn' as const),
      inForceHere: row.jurisdiction === 'any' || row.jurisdiction === mill.jurisdiction,
    }))
    return { items, total: await db.safetyRule.count({ where }) }
  },
})

export const listCoccidiostats = query({
  roles: STAFF,
  input: CoccidiostatListQuery,
  output: CoccidiostatView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, jurisdiction }) {
    const where: Prisma.CoccidiostatWhereInput = {
      AND: [
        onlyNumbers(id),
        jurisdiction === undefined ? {} : { jurisdiction },
        q === undefined ? {} : { OR: [{ active: containing(q) }, { category: containing(q) }] },
      ],
    }
    const rows = await db.coccidiostat.findMany({ where, orderBy: [{ [sort]: order }, { id: 'asc' }], ...rowsOf({ page, perPage }) })
    return { items: rows, total: await db.coccidiostat.count({ where }) }
  },
})

export const getMill = query({ roles: 'everyone', output: MillView, run: ({ db }) => millView(db) })
