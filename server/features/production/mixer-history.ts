import type { FindingView } from '#contract/findings'
import { checkCarryOver, type EarlierLoad } from '#core/safety/carry-over'
import { millFinding, type Finding } from '#core/safety/finding'
import { loadCheckContext } from '#features/lots/lot-safety'
import type { Db, Tx } from '#platform/database/client'
import { findingsOf, medicineOf } from './batch-view.js'
import type { DiscrepancyKind } from './open-discrepancy.js'

/** The finding that keeps a flush with the batch before which it was run. */
const FLUSHED = 'MIXER-FLUSHED'
/** Far more loads than carry-over lasts through. */
const REMEMBERED = 50

export type LoadOnMixer = {
  readonly batchId: string
  readonly mixerId: string
  readonly stage: string
  readonly medication: unknown
  readonly flushed: boolean
}
export type MixerState = { readonly previous: number | null; readonly findings: readonly Finding[] }

const FLUSH: EarlierLoad = { name: 'flush', medication: [], isFlush: true }
const medicines = (medication: unknown): EarlierLoad['medication'] => {
  const medicine = medicineOf(medication)
  return medicine === null ? [] : [medicine]
}
export const wasFlushed = (findings: readonly FindingView[]): boolean => findings.some(({ ruleId }) => ruleId === FLUSHED)

type Started = {
  readonly startedAt: Date | null
  readonly medication: unknown
  readonly discrepancies: readonly { readonly openedAt: Date }[]
}

/**
 * Since when a load is in the mixer. Of a load that was entered without a start somebody told the time afterwards: medicine is then
 * believed to be there since the entry, so that a time told too early cleans no mixer; a load without medicine since the time told.
 */
const countsFrom = ({ startedAt, medication, discrepancies }: Started): number => {
  const told = startedAt?.getTime() ?? 0
  return medicineOf(medication) === null ? told : Math.max(told, ...discrepancies.map(({ openedAt }) => openedAt.getTime()))
}

/** What the safety checks say of this load after those that went through its mixer before, and the number of the last one. */
export const mixerState = async (
  db: Db | Tx,
  { batchId, mixerId, stage, medication, flushed }: LoadOnMixer,
  now: Date,
): Promise<MixerState> => {
  const rows = await db.batch.findMany({
    where: { mixerId, id: { not: batchId }, startedAt: { not: null } },
    orderBy: [{ startedAt: 'desc' }, { number: 'desc' }],
    take: REMEMBERED,
    select: {
      number: true,
      startedAt: true,
      medication: true,
      findings: true,
      discrepancies: { where: { kind: 'weighed-before-start' satisfies DiscrepancyKind }, select: { openedAt: true } },
    },
  })
  const oldestFirst = rows.toReversed().toSorted((a, b) => countsFrom(a) - countsFrom(b))
  const earlier = oldestFirst.flatMap((load): EarlierLoad[] => [
    ...(wasFlushed(findingsOf(load.findings)) ? [FLUSH] : []),
    { name: String(load.number), medication: medicines(load.medication), isFlush: false },
  ])
  const context = await loadCheckContext(db, now)
  const findings = checkCarryOver({ stage, medication: medicines(medication) }, flushed ? [...earlier, FLUSH] : earlier, context)
  return { previous: oldestFirst.at(-1)?.number ?? null, findings }
}

/** The same for the start of the load, with the flush itself as a finding that stays with the batch. */
export const mixerFindings = async (db: Db | Tx, load: LoadOnMixer, now: Date): Promise<Finding[]> => {
  const { previous, findings } = await mixerState(db, load, now)
  if (!load.flushed) return [...findings]
  const what = { code: 'mixer-flushed', facts: { afterLoad: previous } }
  return [millFinding(FLUSHED, 'carry-over', { severity: 'pass', what, appliesTo: load.stage }), ...findings]
}
