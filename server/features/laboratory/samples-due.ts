import type { z } from 'zod'
import { SamplesDueView, type SampleDueView } from '#contract/laboratory'
import { sampleLabel } from '#core/laboratory/sample-label'
import { isTested, testDuties } from '#core/safety/required-tests'
import { loadCheckContext, loadTested } from '#features/lots/lot-safety'
import { withNames } from '#features/lots/lot-view'
import { loadAllMillTests } from '#features/lots/required-tests'
import type { Db, Prisma } from '#platform/database/client'
import { dateOf, plainDate } from '#platform/mill-day'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'

/** The re-test of a lot stands on the list so long before its date: a laboratory away takes about so long. Common practice, no source. */
const RETEST_AHEAD_DAYS = 14
const DAY_MS = 86_400_000

const withOrders = {
  ...withNames,
  batchLines: {
    where: { batch: { startedAt: null, status: { in: ['planned', 'on-hold'] } } },
    select: { batch: { select: { order: { select: { number: true } } } } },
  },
} as const satisfies Prisma.LotInclude
type Row = Prisma.LotGetPayload<{ include: typeof withOrders }>

type Due = z.output<typeof SampleDueView>
type Known = {
  readonly duties: ReturnType<typeof testDuties>
  readonly measured: ReadonlySet<string>
  readonly soon: Date
  readonly usable: ReadonlySet<string>
}

const dueOf = (row: Row, { duties, measured, soon, usable }: Known): Due | null => {
  const retest = row.retestOn !== null && row.retestOn <= soon
  // A re-test asks for everything again that the release asked for.
  const open = duties.filter(({ hazard }) => retest || !isTested(hazard, measured))
  const required = open.flatMap(({ hazard, duty }) => (duty === 'required' ? [hazard] : []))
  const asked = open.flatMap(({ hazard, duty }) => (duty === 'asked' ? [hazard] : []))
  if (!retest && (row.status !== 'on-hold' || required.length + asked.length === 0)) return null
  return {
    sample: sampleLabel(row.number),
    lotId: row.id,
    lotNumber: row.number,
    ingredientId: row.ingredientId,
    ingredientNameEn: row.ingredient.nameEn,
    ingredientNameSw: row.ingredient.nameSw,
    pictogram: row.ingredient.pictogram,
    supplierName: row.supplier.name,
    storagePlace: row.storagePlace,
    kg: row.onHandKg.toFixed(3),
    why: retest ? 're-test' : 'release',
    // held again after a release: from then on
    waitsSince: (row.status === 'on-hold' && row.decidedAt !== null ? row.decidedAt : row.receivedAt).toISOString(),
    retestOn: row.retestOn === null ? null : plainDate(row.retestOn),
    required,
    asked,
    orders: [...new Set(row.batchLines.map(({ batch }) => batch.order.number))].sort((a, b) => a - b),
    onlyOne: !usable.has(row.ingredientId),
  }
}

const usableIngredients = async (db: Db, today: string): Promise<ReadonlySet<string>> => {
  const rows = await db.lot.findMany({
    where: {
      status: 'released',
      onHandKg: { gt: db.lot.fields.reservedKg },
      AND: [
        { OR: [{ expiresOn: null }, { expiresOn: { gte: dateOf(today) } }] },
        { OR: [{ retestOn: null }, { retestOn: { gte: dateOf(today) } }] },
      ],
    },
    select: { ingredientId: true },
    distinct: ['ingredientId'],
  })
  return new Set(rows.map(({ ingredientId }) => ingredientId))
}

const order = (a: Due, b: Due): number => a.waitsSince.localeCompare(b.waitsSince) || a.lotNumber - b.lotNumber

/** What the laboratory has to do, oldest first, with what waits for it: a test that must or should be made, and re-tests that come due. */
export const listSamplesDue = query({
  roles: STAFF,
  output: SamplesDueView,
  async run({ db, now }) {
    const context = await loadCheckContext(db, now)
    const own = await loadAllMillTests(db)
    const soon = new Date(dateOf(context.on).getTime() + RETEST_AHEAD_DAYS * DAY_MS)
    const rows = await db.lot.findMany({
      where: { onHandKg: { gt: 0 }, OR: [{ status: 'on-hold' }, { status: 'released', retestOn: { lte: soon } }] },
      include: withOrders,
    })
    const usable = await usableIngredients(db, context.on)
    const tested = await loadTested(db, rows)
    const samples = rows.flatMap((row) => {
      const kind = { ingredientKey: row.ingredientId, category: row.ingredient.category }
      const duties = testDuties(kind, context, own.get(row.ingredientId) ?? [])
      return dueOf(row, { duties, measured: tested.get(row.id) ?? new Set(), soon, usable }) ?? []
    })
    return { samples: samples.sort(order), ordersToPlan: await db.order.count({ where: { status: 'ordered' } }) }
  },
})
