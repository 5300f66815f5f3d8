import { FormulaListQuery, FormulaView, MixView, VersionView } from '#contract/formulas'
import {
  AlternativesBody,
  AlternativesView,
  AssayWorthView,
  CurveBody,
  CurveView,
  ExplanationView,
  ExplainBody,
  SolveLimitsBody,
} from '#contract/solving'
import { ById } from '#contract/lists'
import { MillError } from '#core/errors'
import type { Prisma } from '#platform/database/client'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { alternativeMixes } from './alternative-mixes.js'
import { costCurve } from './cost-curve.js'
import { explainMix } from './explain-mix.js'
import { checkSolveRequest } from './limit-fields.js'
import { readInTurn } from './reading-turns.js'
import { solveMix } from './solve-mix.js'
import { formulaView, withVersions } from './version-view.js'
import { worthOfAssays } from './worth-of-assays.js'
import { wholeVersion } from './whole-version.js'

const matching = (q: string): Prisma.FormulaWhereInput => {
  const number = numberIn(q)
  return {
    OR: [{ nameEn: containing(q) }, { nameSw: containing(q) }, { stage: containing(q) }, ...(number === undefined ? [] : [{ number }])],
  }
}

export const listFormulas = query({
  roles: STAFF,
  input: FormulaListQuery,
  output: FormulaView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, status, stage }) {
    const where: Prisma.FormulaWhereInput = {
      AND: [
        onlyIds(id),
        stage === undefined ? {} : { stage },
        status === undefined ? {} : { versions: { some: { status: { in: status } } } },
        q === undefined ? {} : matching(q),
      ],
    }
    const rows = await db.formula.findMany({
      where,
      include: withVersions,
      orderBy: [{ [sort]: order }, { number: 'asc' }],
      ...rowsOf({ page, perPage }),
    })
    return { items: rows.map(formulaView), total: await db.formula.count({ where }) }
  },
})

export const getFormula = query({
  roles: STAFF,
  params: ById,
  output: FormulaView,
  async run({ db }, { id }) {
    const row = await db.formula.findUnique({ where: { id }, include: withVersions })
    if (row === null) throw new MillError('not-found')
    return formulaView(row)
  },
})

export const getVersion = query({
  roles: STAFF,
  params: ById,
  output: VersionView,
  run: ({ db, now }, { id }) => wholeVersion(db, id, now),
})

/** Solves limits that are not kept anywhere; no mix is an answer too, with the limits that conflict. */
export const solveLimits = query({
  roles: ['nutritionist', 'manager'],
  input: SolveLimitsBody,
  output: MixView,
  async run({ db, pool, now }, request) {
    await readInTurn(() => checkSolveRequest(db, request))
    return (await solveMix({ db, pool, now }, request)).view
  },
})

/** Why those limits cost what they cost, or what would make a mix possible. */
export const explainLimits = query({
  roles: ['nutritionist', 'manager'],
  input: ExplainBody,
  output: ExplanationView,
  async run({ db, pool, now }, request) {
    await readInTurn(() => checkSolveRequest(db, request))
    return explainMix({ db, pool, now }, request)
  },
})

/** The cost over a range of one limit or one price. */
export const curveOfLimits = query({
  roles: ['nutritionist', 'manager'],
  input: CurveBody,
  output: CurveView,
  async run({ db, pool, now }, request) {
    await readInTurn(() => checkSolveRequest(db, request))
    return costCurve({ db, pool, now }, request)
  },
})

/** Other mixes inside the same limits. */
export const alternativesToLimits = query({
  roles: ['nutritionist', 'manager'],
  input: AlternativesBody,
  output: AlternativesView,
  async run({ db, pool, now }, { atMost, withinPct, leaveOut, ...request }) {
    await readInTurn(() => checkSolveRequest(db, { ...request, leaveOut }))
    return alternativeMixes({ db, pool, now }, request, { atMost, withinPct, leaveOut })
  },
})

/** Which laboratory result would pay. */
export const assayWorthForLimits = query({
  roles: ['nutritionist', 'manager'],
  input: SolveLimitsBody,
  output: AssayWorthView,
  async run({ db, pool, now }, request) {
    await readInTurn(() => checkSolveRequest(db, request))
    return worthOfAssays({ db, pool, now }, request)
  },
})
