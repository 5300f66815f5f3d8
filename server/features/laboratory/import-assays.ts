import { ImportAssaysBody, ImportedAssaysView } from '#contract/laboratory'
import { MillError, fieldError } from '#core/errors'
import { command, type CommandContext } from '#platform/command'
import type { LotRow } from '#features/lots/lot-view'
import type { Tx } from '#platform/database/client'
import { dateOf } from '#platform/mill-day'
import { judgeAhead, reportBadLots } from './bad-lots.js'
import { alreadyRecorded, checkFile, type CheckedFile, type CheckedRow } from './import-checks.js'
import { holdFailing, judgeBefore, lockBatchesOf } from './hold-failing.js'
import { readFile } from './import-file.js'
import type { RowFault } from './import-rows.js'

/** A thousand wrong rows need not be told one by one; the check tells them all. */
const MOST_TOLD = 50

const refuseFaulty = (faults: readonly RowFault[]): void => {
  if (faults.length === 0) return
  const fields = faults.slice(0, MOST_TOLD).map(({ row, column, code, message, facts }) => ({
    path: column === null ? `rows.${row}` : `rows.${row}.${column}`,
    code,
    message,
    facts,
  }))
  throw new MillError('bad-input', { faults: faults.length }, fields)
}

/** What was seen is what is recorded. */
const refuseChanged = ({ fingerprint }: CheckedFile, seen: string): void => {
  if (fingerprint === seen) return
  throw fieldError('bad-input', 'fingerprint', 'file-changed', 'this is not the file that was checked; check it again')
}

const refuseUnconfirmed = ({ rows }: CheckedFile, confirmed: number): void => {
  const unusual = rows.filter(({ usual }) => usual !== null)
  if (unusual.length === confirmed) return
  const facts = { count: unusual.length, rows: unusual.slice(0, MOST_TOLD).map(({ row }) => row) }
  const message = `${facts.count} results are unusual: look at them again and confirm ${facts.count}`
  throw fieldError('bad-input', 'confirmedUnusual', 'unusual-unconfirmed', message, facts)
}

/** Holds the lots until COMMIT, in one order for everybody. Whoever is about to decide on one must look again. */
const touchLots = async (tx: Tx, lotIds: readonly string[]): Promise<void> => {
  await tx.$queryRaw`SELECT id FROM lot WHERE id = ANY(${lotIds}::uuid[]) ORDER BY id FOR NO KEY UPDATE`
  await tx.$executeRaw`UPDATE lot SET revision = revision + 1 WHERE id = ANY(${lotIds}::uuid[])`
}

const ROWS_AT_ONCE = 5000

/** Whole columns as lists: 50,000 rows one by one would take minutes, and have more values than a statement has room for parameters. */
const insertRows = async ({ tx, actor, now, newId }: CommandContext, rows: readonly CheckedRow[]): Promise<void> => {
  for (let from = 0; from < rows.length; from += ROWS_AT_ONCE) {
    const some = rows.slice(from, from + ROWS_AT_ONCE)
    const column = <Name extends keyof CheckedRow>(name: Name): CheckedRow[Name][] => some.map((row) => row[name])
    await tx.$executeRaw`
      INSERT INTO assay (id, lot_id, analyte, value, unit, below_detection, sd, method, laboratory, measured_on, note, recorded_at, recorded_by)
      SELECT row.*, ${now}, ${actor.userId}::uuid
      FROM unnest(${some.map(() => newId())}::uuid[], ${column('lotId')}::uuid[], ${column('analyte')}::text[],
        ${column('value').map(String)}::float8[], ${column('unit')}::text[], ${column('belowDetection')}::boolean[],
        ${column('sd').map((sd) => (sd === null ? null : String(sd)))}::float8[], ${column('method')}::text[],
        ${column('laboratory')}::text[], ${column('measuredOn')}::date[], ${column('note')}::text[]) AS row`
  }
}

/** The rows as they will stand in the books, for judging their lots before that. */
const resultsByLot = (rows: readonly CheckedRow[], now: Date, recordedBy: string): Map<string, LotRow['assays']> => {
  const lots = new Map<string, LotRow['assays']>()
  for (const row of rows) {
    const { lotId, analyte, value, unit, belowDetection, sd, method, laboratory, note } = row
    const facts = { lotId, analyte, value, unit, belowDetection, sd, method, laboratory, note, reading: 'figure', quickTest: null }
    const results = lots.get(lotId) ?? []
    lots.set(lotId, results)
    results.push({ ...facts, id: `row ${row.row}`, measuredOn: dateOf(row.measuredOn), recordedAt: now, recordedBy, supersedesId: null })
  }
  return lots
}

type LotCount = { lotId: string; lotNumber: number; results: number }
const byLot = (rows: readonly CheckedRow[]): LotCount[] => {
  const counts = new Map<string, LotCount>()
  for (const { lotId, lotNumber } of rows) counts.set(lotId, { lotId, lotNumber, results: (counts.get(lotId)?.results ?? 0) + 1 })
  return [...counts.values()].sort((one, other) => one.lotNumber - other.lotNumber)
}
const LOTS_NAMED = 20

/** A file of results, all rows or none. Reading and judging it takes the time; the transaction only holds the lots and writes. */
export const importAssays = command({
  roles: ['laboratory', 'manager'],
  input: ImportAssaysBody,
  output: ImportedAssaysView,
  status: 201,
  long: true,
  async prepare({ db, now, actor }, { parts }) {
    const file = await checkFile(db, await readFile(parts), now)
    return { file, judged: file.faults.length > 0 ? new Map() : await judgeAhead(db, now, resultsByLot(file.rows, now, actor.userId)) }
  },
  async run(ctx, asked, { file, judged }) {
    const { tx, now, newId, record } = ctx
    refuseChanged(file, asked.fingerprint)
    refuseFaulty(file.faults)
    refuseUnconfirmed(file, asked.confirmedUnusual)
    const lots = byLot(file.rows)
    const lotIds = lots.map(({ lotId }) => lotId)
    await lockBatchesOf(tx, lotIds)
    await touchLots(tx, lotIds)
    // only now, because another import of the same file may have come first
    refuseFaulty(await alreadyRecorded(tx, file.rows))
    const before = await judgeBefore(ctx, lotIds)
    await insertRows(ctx, file.rows)
    const { fingerprint } = file
    record('assays.imported', 'assay-import', newId(), {
      fingerprint,
      results: file.rows.length,
      lots: lots.length,
      unusual: asked.confirmedUnusual,
    })
    const badLots = await reportBadLots(ctx, lotIds, judged)
    await holdFailing(ctx, lots, before)
    return {
      fingerprint,
      results: file.rows.length,
      lots: lots.length,
      badLots,
      recordedAt: now.toISOString(),
      firstLots: lots.slice(0, LOTS_NAMED),
    }
  },
})
