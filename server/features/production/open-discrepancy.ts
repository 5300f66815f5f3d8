import type { Facts } from '#core/errors'
import type { CommandContext } from '#platform/command'

export type DiscrepancyKind =
  | 'outside-allowed-range'
  | 'weighed-before-start'
  | 'more-than-in-store'
  | 'made-differs'
  | 'limit-broken'
  | 'safety-broken'
  | 'handed-over-without-code'
  | 'handed-over-on-hold'
  | 'handed-over-unsafe'
  | 'sheet-before-load'
type About = { readonly batchId?: string; readonly orderId?: string; readonly lotId?: string }
type PlainFacts = { readonly [name: string]: string | number | boolean | null }

/** A fact that disagrees with the books or the rules is recorded as it is, and stays open until the manager closes it with a reason. */
export const openDiscrepancy = async (
  { tx, actor, now, newId, record }: CommandContext,
  kind: DiscrepancyKind,
  about: About,
  facts: PlainFacts,
): Promise<{ readonly number: number }> => {
  const id = newId()
  const { number } = await tx.discrepancy.create({
    data: { id, kind, ...about, facts, openedAt: now, openedBy: actor.userId },
    select: { number: true },
  })
  record('discrepancy.opened', 'discrepancy', id, { number, kind, ...about, ...facts } satisfies Facts)
  return { number }
}
