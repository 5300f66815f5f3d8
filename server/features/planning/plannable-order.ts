import { MillError } from '#core/errors'
import type { Db, Prisma } from '#platform/database/client'
import { eatenFrom } from '#features/orders/check-order'
import { loadToday, plainDate } from '#platform/mill-day'

const withFormula = { formula: true } as const satisfies Prisma.FormulaVersionInclude
type Version = Prisma.FormulaVersionGetPayload<{ include: typeof withFormula }>
type Flock = Prisma.FlockGetPayload<object>

export type PlannableOrder = {
  readonly id: string
  readonly number: number
  readonly revision: number
  readonly status: string
  readonly kg: string
  /** The day from which the birds eat it. */
  readonly eatenFrom: string
  readonly flock: Flock
  /** The version it was ordered or last planned by; another when that one was replaced. */
  readonly orderedVersionId: string
  /** The version to mix by. */
  readonly version: Version
}

/**
 * An order with the version of its formula that is approved now. A newer version that replaced the ordered one is used (the price stays
 * as agreed); where the formula was withdrawn altogether there is none, and the order cannot be made.
 */
export const plannableOrder = async (db: Db, id: string, now: Date): Promise<PlannableOrder> => {
  const row = await db.order.findUnique({ where: { id }, include: { flock: true, formulaVersion: { include: withFormula } } })
  if (row === null) throw new MillError('not-found')
  const { formulaVersion: ordered, flock, number, revision, status, kg } = row
  const version =
    ordered.status === 'approved'
      ? ordered
      : await db.formulaVersion.findFirst({ where: { formulaId: ordered.formulaId, status: 'approved' }, include: withFormula })
  if (version === null) throw new MillError('formula-not-approved', { version: ordered.version, status: ordered.status })
  const today = await loadToday(db, now)
  return {
    id,
    number,
    revision,
    status,
    kg: kg.toFixed(3),
    eatenFrom: eatenFrom(plainDate(row.dueOn), today),
    flock,
    orderedVersionId: ordered.id,
    version,
  }
}
