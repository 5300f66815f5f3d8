import { LateResultsView, UsedLotView } from '#contract/laboratory'
import { ById } from '#contract/lists'
import { MillError } from '#core/errors'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { batchesOf, recheck, usedBatchView } from './used-batches.js'

/** What a home page can show at a glance. */
const LOTS_SHOWN = 3
/** Common practice, no source: hens have eaten older feed. */
const LOOK_BACK_DAYS = 60
const DAY_MS = 86_400_000

/** Every load that holds this lot, checked with what is believed of it now. */
export const showUsedLot = query({
  roles: STAFF,
  params: ById,
  output: UsedLotView,
  async run({ db, now }, { id }) {
    const lot = await db.lot.findUnique({ where: { id }, select: { number: true } })
    if (lot === null) throw new MillError('not-found')
    const checked = await recheck(db, await batchesOf(db, [id]), now)
    return { lotId: id, lotNumber: lot.number, batches: checked.map((one) => usedBatchView(one, id)) }
  },
})

type Late = { readonly id: string; readonly number: number; readonly batch_ids: readonly string[] }

/** Lots with a standing result that was recorded after a load with them had begun, newest result first. */
export const listLateResults = query({
  roles: STAFF,
  output: LateResultsView,
  async run({ db, now }) {
    const from = new Date(now.getTime() - LOOK_BACK_DAYS * DAY_MS)
    const late = await db.$queryRaw<Late[]>`
      SELECT l.id, l.number, array_agg(DISTINCT b.id) AS batch_ids
      FROM lot l
      JOIN assay a ON a.lot_id = l.id AND a.recorded_at >= ${from} AND NOT EXISTS (SELECT FROM assay s WHERE s.supersedes_id = a.id)
      JOIN batch_line bl ON bl.lot_id = l.id
      JOIN batch b ON b.id = bl.batch_id AND b.started_at < a.recorded_at
      GROUP BY l.id, l.number ORDER BY max(a.recorded_at) DESC LIMIT ${LOTS_SHOWN}`
    const lots = []
    for (const { id, number, batch_ids } of late) {
      const rows = (await batchesOf(db, [id])).filter((row) => batch_ids.includes(row.id))
      const checked = await recheck(db, rows, now)
      lots.push({ lotId: id, lotNumber: number, batches: checked.map((one) => usedBatchView(one, id)) })
    }
    return { lots }
  },
})
