import { UndoMakingBody } from '#contract/derived-lots'
import { ById } from '#contract/lists'
import { LotView } from '#contract/lots'
import { MillError } from '#core/errors'
import { undoMakingMovement } from '#features/stock/ledger'
import { command } from '#platform/command'
import { lotView, withNames } from './lot-view.js'

/** A made lot that was typed wrongly is taken back into its parents, once, while nothing of it was used. */
export const undoMaking = command({
  roles: ['manager'],
  params: ById,
  input: UndoMakingBody,
  output: LotView,
  async run({ tx, actor, newId, record }, { id, reason }) {
    const before = await tx.lot.findUnique({ where: { id }, include: { making: true } })
    if (before === null) throw new MillError('not-found')
    if (before.making === null) throw new MillError('wrong-state', { lotNumber: before.number, madeBy: null })
    const { transferId } = before.making
    await undoMakingMovement(tx, { id: newId(), lotId: id, transferId, actorId: actor.userId, reason })
    record('lot.making-undone', 'lot', id, { number: before.number, kind: before.madeBy, reason })
    return lotView(await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames }))
  },
})
