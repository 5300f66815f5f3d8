import type { LotComposition } from '#core/composition/compose-lot'
import { lookFindings } from '#core/receiving/looks'
import { checkLot, type CheckContext } from '#core/safety/check-lot'
import type { LotFacts } from '#core/safety/facts'
import { analysesFor } from '#core/safety/lot-duties'
import { missingMillTests, type MillTest } from '#core/safety/required-tests'
import { millFinding, worstFirst, type Finding } from '#core/safety/finding'
import { loadMill, todayAt } from '#features/requirements/mill'
import { loadSafetyTables } from '#features/requirements/safety-tables'
import type { Db, Tx } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'
import { loadCompositions } from './lot-composition.js'
import { looksOf, medicationOf, statusOf, type LotRow } from './lot-view.js'

export type LotAndComposition = { readonly row: LotRow; readonly composition: LotComposition }

const measuredAnalytes = (row: LotRow): ReadonlySet<string> => new Set(row.assays.map(({ analyte }) => analyte))

/** What a lot was tested for: a made one also for what each of the lots in it was. */
export const testedAnalytes = ({ row, composition: { tested = [] } }: LotAndComposition): ReadonlySet<string> =>
  new Set([...measuredAnalytes(row), ...tested])

/** As `testedAnalytes`, of many lots: only what a made one holds has to be asked for. */
export const loadTested = async (db: Db | Tx, rows: readonly LotRow[]): Promise<ReadonlyMap<string, ReadonlySet<string>>> => {
  const made = rows.filter(({ madeBy }) => madeBy !== null)
  const compositions = new Map((await loadCompositions(db, made)).map((composition, index) => [made[index]?.id, composition]))
  return new Map(
    rows.map((row) => {
      const composition = compositions.get(row.id)
      return [row.id, composition ? testedAnalytes({ row, composition }) : measuredAnalytes(row)]
    }),
  )
}

const missingAnalyses = (lot: LotAndComposition): Finding[] => {
  const { row } = lot
  const measured = testedAnalytes(lot)
  return analysesFor(row.ingredient.category)
    .filter((analyte) => !measured.has(analyte))
    .map((analyte) =>
      millFinding(`LOT-TEST-${analyte.toUpperCase()}`, 'analysis', {
        severity: 'block',
        what: { code: 'required-test-missing', facts: { item: analyte, ingredientKey: row.ingredientId, required: 'mill-rule' } },
        appliesTo: String(row.number),
      }),
    )
}

export const lotFacts = ({ row, composition }: LotAndComposition): LotFacts => ({
  name: String(row.number),
  status: statusOf(row.status),
  expiresOn: row.expiresOn === null ? null : plainDate(row.expiresOn),
  retestOn: row.retestOn === null ? null : plainDate(row.retestOn),
  releasedFor: row.releasedFor,
  medicationDeclared: row.medicationDeclared,
  medication: medicationOf(row),
  composition,
})

/** The rules in force and the mill's date, as the safety checks of core want them. */
export const loadCheckContext = async (db: Db | Tx, now: Date): Promise<CheckContext> => {
  const mill = await loadMill(db)
  return { tables: await loadSafetyTables(db), settings: { jurisdiction: mill.jurisdiction }, on: todayAt(mill, now) }
}

/** All that stands for or against the release of a lot, worst first. */
export const lotFindings = (lot: LotAndComposition, context: CheckContext): Finding[] =>
  worstFirst([...missingAnalyses(lot), ...lookFindings(looksOf(lot.row), lot.row.number), ...checkLot(lotFacts(lot), context)])

/** Rules that one of these lots breaks now, though it was released: a late result may have shown it. Empty: none. Its age is no such rule. */
export const againstLots = async (tx: Tx, rows: readonly LotRow[], now: Date): Promise<string> => {
  const compositions = await loadCompositions(tx, rows)
  const context = await loadCheckContext(tx, now)
  return rows
    .flatMap((row, index) => {
      const composition = compositions[index]
      if (composition === undefined) return []
      const blocks = lotFindings({ row, composition }, context).filter(
        ({ severity, what }) => severity === 'block' && what.code !== 'lot-expired',
      )
      return blocks.length === 0 ? [] : [`lot ${row.number}: ${blocks.map(({ ruleId }) => ruleId).join(', ')}`]
    })
    .join('; ')
}

/** Common practice, no source: a re-test is made at most so long before its date. */
const RETEST_BEFORE_DAYS = 30
const DAY_MS = 86_400_000

const checkHold = ({ holdUntil, number, statusReason }: LotRow, on: string): Finding[] => {
  if (holdUntil === null || plainDate(holdUntil) <= on) return []
  const facts = { lot: String(number), until: plainDate(holdUntil), reason: statusReason }
  return [millFinding('LOT-HOLD', 'lot-hold', { severity: 'block', what: { code: 'lot-held-until', facts }, appliesTo: String(number) })]
}

/** When a lot was released last; null when the history does not say. */
export const lastReleaseOf = async (db: Db | Tx, lotId: string): Promise<Date | null> => {
  const where = { entityType: 'lot', entityId: lotId, action: 'lot.released' }
  return (await db.auditEntry.findFirst({ where, orderBy: { seq: 'desc' }, select: { at: true } }))?.at ?? null
}

/** What the lot was released with is no re-test, however near the date it was measured. */
const checkRetested = ({ retestOn, number, assays }: LotRow, on: string, lastRelease: Date | null): Finding[] => {
  if (retestOn === null || plainDate(retestOn) > on) return []
  const from = retestOn.getTime() - RETEST_BEFORE_DAYS * DAY_MS
  const isSince = (at: Date): boolean => lastRelease === null || at > lastRelease
  if (assays.some(({ measuredOn, recordedAt }) => measuredOn.getTime() >= from && isSince(recordedAt))) return []
  const facts = { lot: String(number), retestOn: plainDate(retestOn), days: RETEST_BEFORE_DAYS }
  return [millFinding('LOT-RETEST', 'analysis', { severity: 'block', what: { code: 'retest-missing', facts }, appliesTo: String(number) })]
}

/**
 * What stands for or against the release of a lot on hold: beside its findings the tests that this mill asks for, a hold until a day, and
 * a re-test that was due. Additions of the mill hold for releases from then on; what was released before them stays released.
 */
export const releaseFindings = (
  lot: LotAndComposition,
  context: CheckContext,
  own: readonly MillTest[],
  lastRelease: Date | null,
): Finding[] => {
  const { row } = lot
  const facts = { name: String(row.number), ingredientKey: row.ingredientId, measured: testedAnalytes(lot) }
  return worstFirst([
    ...checkHold(row, context.on),
    ...missingMillTests(facts, own),
    ...checkRetested(row, context.on, lastRelease),
    ...lotFindings(lot, context),
  ])
}

/** Findings as facts of a problem or of a discrepancy. */
export const findingFacts = (findings: readonly Finding[]) =>
  findings.map(({ limit, ...finding }) => ({
    ...finding,
    limit: limit === null ? null : { ...limit },
  }))
