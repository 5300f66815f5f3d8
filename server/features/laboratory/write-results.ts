import { MillError, fieldError, type FieldError } from '#core/errors'
import { loadBook } from '#features/ingredients/book'
import { assayView, withRecorder } from '#features/lots/assay-view'
import { withNames, type LotRow } from '#features/lots/lot-view'
import type { CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { dateOf, dayAt } from '#platform/mill-day'
import { resultFaults } from './assay-rules.js'
import { reportBadLots } from './bad-lots.js'
import { holdFailing, judgeBefore, lockBatchesOf } from './hold-failing.js'
import { quickFaults, withQuickTest, type Result } from './quick-results.js'
import type { Rechecked } from './used-batches.js'

/** One result of one lot, and where it stands in what was sent. */
export type ToWrite = { readonly lotId: string; readonly laboratory: string; readonly result: Result; readonly path: string }
export type Written = {
  readonly assays: ReturnType<typeof assayView>[]
  readonly lots: readonly LotRow[]
  readonly checked: readonly Rechecked[]
}

/** New revisions: whoever is about to decide on a lot must look again. The rows stay locked until COMMIT, taken in ascending id as always. */
const touchLots = async (tx: Tx, lotIds: readonly string[], pathOf: (lotId: string) => string | null): Promise<LotRow[]> => {
  const ids = lotIds.toSorted()
  await tx.$queryRaw`SELECT id FROM lot WHERE id = ANY(${ids}::uuid[]) ORDER BY id FOR NO KEY UPDATE`
  await tx.$executeRaw`UPDATE lot SET revision = revision + 1 WHERE id = ANY(${ids}::uuid[])`
  const rows = await tx.lot.findMany({ where: { id: { in: ids } }, include: withNames })
  const missing = ids.find((id) => rows.every((row) => row.id !== id))
  if (missing === undefined) return rows
  const path = pathOf(missing)
  throw path === null ? new MillError('not-found') : fieldError('bad-input', path, 'unknown', 'there is no such lot')
}

/** A correction names the result it replaces: of the same lot and analyte, and replaced by nothing else yet. */
const checkCorrection = async (tx: Tx, { lotId, result: { supersedesId, analyte }, path: at }: ToWrite): Promise<void> => {
  if (supersedesId === null) return
  const path = `${at}.supersedesId`
  const old = await tx.assay.findUnique({ where: { id: supersedesId }, include: { supersededBy: { select: { id: true } } } })
  if (old === null || old.lotId !== lotId || old.analyte !== analyte)
    throw fieldError('bad-input', path, 'unknown', 'there is no such result of this lot and analyte')
  if (old.supersededBy !== null) throw fieldError('wrong-state', path, 'superseded', 'this result was corrected already')
}

const faultsOf = async ({ tx, now }: CommandContext, written: readonly ToWrite[], lots: readonly LotRow[]): Promise<FieldError[]> => {
  const books = await loadBook(tx)
  const { timeZone } = await tx.mill.findUniqueOrThrow({ where: { id: 1 }, select: { timeZone: true } })
  const today = dayAt(now, timeZone)
  return written.flatMap(({ lotId, result, path }) => {
    const quick = quickFaults(result, path)
    const lot = lots.find(({ id }) => id === lotId)
    if (quick.length > 0 || lot === undefined) return quick
    const known = { book: books.get(lot.ingredientId)?.book ?? [], today, receivedOn: dayAt(lot.receivedAt, timeZone) }
    return resultFaults(result.quickTest === null ? result : withQuickTest(result), path, known)
  })
}

/** Where a lot that does not exist is told: at its row, or as the thing that the address names. */
type Place = (lotId: string) => string | null

/**
 * Results, all of them or none. With them comes what follows: a released lot that a result condemns is reported, and loads that hold
 * one of the lots are checked again.
 */
export const writeResults = async (ctx: CommandContext, written: readonly ToWrite[], placeOfLot: Place): Promise<Written> => {
  const { tx, actor, now, newId, record } = ctx
  const lotIds = [...new Set(written.map(({ lotId }) => lotId))]
  await lockBatchesOf(tx, lotIds)
  const lots = await touchLots(tx, lotIds, placeOfLot)
  const faults = await faultsOf(ctx, written, lots)
  if (faults.length > 0) throw new MillError('bad-input', {}, faults)
  const before = await judgeBefore(ctx, lotIds)
  const ids: string[] = []
  for (const one of written) {
    await checkCorrection(tx, one)
    const { confirmed: _confirmed, measuredOn, detectionLimit: _limit, ...figures } = withQuickTest(one.result)
    const id = newId()
    ids.push(id)
    await tx.assay.create({
      data: {
        ...figures,
        id,
        lotId: one.lotId,
        laboratory: one.laboratory,
        measuredOn: dateOf(measuredOn),
        recordedAt: now,
        recordedBy: actor.userId,
      },
      select: { id: true },
    })
  }
  const byId = new Map(ids.map((id, index) => [id, written[index]?.lotId]))
  for (const { id, number } of lots) {
    const own = written.filter(({ lotId }) => lotId === id).map(({ result }) => result.analyte)
    record('assays.recorded', 'lot', id, { number, analytes: own, assayIds: ids.filter((assayId) => byId.get(assayId) === id) })
  }
  await reportBadLots(ctx, lotIds)
  const checked = await holdFailing(
    ctx,
    lots.map(({ id, number }) => ({ lotId: id, lotNumber: number })),
    before,
  )
  const rows = await tx.assay.findMany({ where: { id: { in: ids } }, include: withRecorder, orderBy: { id: 'asc' } })
  return { assays: rows.map(assayView), lots, checked }
}
