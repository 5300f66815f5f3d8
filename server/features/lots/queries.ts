import type { z } from 'zod'
import { ById } from '#contract/lists'
import { LotDetailView, LotListQuery, LotView } from '#contract/lots'
import { MillError } from '#core/errors'
import { PROTEIN_BEARING_CATEGORIES } from '#core/safety/lot-duties'
import { isTested, testDuties } from '#core/safety/required-tests'
import type { Role } from '#platform/actor'
import type { Db, Prisma } from '#platform/database/client'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { assayView, withRecorder } from './assay-view.js'
import { compositionView, loadComposition, poisonsView } from './lot-composition.js'
import { partFindings } from './derive-freeze.js'
import { childrenView, makingView } from './derive-view.js'
import { lastReleaseOf, loadCheckContext, lotFindings, releaseFindings, testedAnalytes } from './lot-safety.js'
import { lotPhotos } from './photos.js'
import { samplePlanOf } from './sample-plan.js'
import { lotView, withNames } from './lot-view.js'
import { loadMillTests } from './required-tests.js'

const stands = { supersededBy: { is: null } }
/** Of a made lot every lot in it was tested before its release: what keeps it on hold is a decision. */
const untested: Prisma.LotWhereInput = {
  madeBy: null,
  ingredient: { category: { in: [...PROTEIN_BEARING_CATEGORIES] } },
  OR: [{ assays: { none: { analyte: 'CP', ...stands } } }, { assays: { none: { analyte: 'moisture', ...stands } } }],
}

const waiting = (what: 'tests' | 'decision' | undefined): Prisma.LotWhereInput =>
  what === undefined ? {} : { status: 'on-hold', ...(what === 'tests' ? untested : { NOT: untested }) }

const found = (words: string | undefined): Prisma.LotWhereInput => {
  if (words === undefined) return {}
  const number = numberIn(words)
  const named = { OR: [{ nameEn: containing(words) }, { nameSw: containing(words) }] }
  return {
    OR: [
      { ingredient: named },
      { supplier: { name: containing(words) } },
      { deliveryNote: containing(words) },
      { storagePlace: containing(words) },
      ...(number === undefined ? [] : [{ number }]),
    ],
  }
}

export const listLots = query({
  roles: STAFF,
  input: LotListQuery,
  output: LotView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, status, ingredientId, supplierId, waitsFor }) {
    const where: Prisma.LotWhereInput = {
      AND: [
        onlyIds(id),
        status === undefined ? {} : { status: { in: status } },
        ingredientId === undefined ? {} : { ingredientId },
        supplierId === undefined ? {} : { supplierId },
        waiting(waitsFor),
        found(q),
      ],
    }
    const rows = await db.lot.findMany({
      where,
      include: withNames,
      orderBy: [{ [sort]: order }, { number: order }],
      ...rowsOf({ page, perPage }),
    })
    return { items: rows.map(lotView), total: await db.lot.count({ where }) }
  },
})

/** Whether this person could release the lot as it stands: warnings are the manager's to override. */
const mayRelease = (status: string, findings: readonly { severity: string }[], role: Role): boolean =>
  status === 'on-hold' &&
  (role === 'manager' || role === 'laboratory') &&
  findings.every(({ severity }) => severity === 'pass' || (severity === 'warn' && role === 'manager'))

const lotDetail = async (db: Db, id: string, { now, role }: { now: Date; role: Role }): Promise<z.output<typeof LotDetailView>> => {
  const row = await db.lot.findUnique({ where: { id }, include: withNames })
  if (row === null) throw new MillError('not-found')
  const assays = await db.assay.findMany({ where: { lotId: id }, include: withRecorder, orderBy: [{ recordedAt: 'asc' }, { id: 'asc' }] })
  const composition = await loadComposition(db, row)
  const context = await loadCheckContext(db, now)
  const own = await loadMillTests(db, row.ingredientId)
  const lot = { row, composition }
  const findings =
    row.status === 'on-hold'
      ? [...(await partFindings(db, row)), ...releaseFindings(lot, context, own, await lastReleaseOf(db, id))]
      : lotFindings(lot, context)
  const kind = { ingredientKey: row.ingredientId, category: row.ingredient.category }
  const measured = testedAnalytes(lot)
  return {
    ...lotView(row),
    assays: assays.map(assayView),
    composition: compositionView(composition),
    poisons: poisonsView(composition),
    flags: composition.flags.map(({ code, facts }) => ({ code, facts: { ...facts } })),
    findings: findings.map(({ what, ...finding }) => ({ ...finding, what: { code: what.code, facts: { ...what.facts } } })),
    mayRelease: mayRelease(row.status, findings, role),
    tests: testDuties(kind, context, own).map((duty) => ({ ...duty, tested: isTested(duty.hazard, measured) })),
    samplePlan: samplePlanOf(row),
    photos: await lotPhotos(db, id),
    making: await makingView(db, id, { role, today: context.on }),
    children: await childrenView(db, id),
  }
}

export const getLot = query({
  roles: STAFF,
  params: ById,
  output: LotDetailView,
  run: ({ db, now, actor }, { id }) => lotDetail(db, id, { now, role: actor.role }),
})
