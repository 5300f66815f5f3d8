import { ById } from '#contract/lists'
import { BlankSheetView, SpoilSheetBody } from '#contract/sheets'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { SHEET_ROLES } from './issue-sheets.js'
import { closedSheet } from './sheet-state.js'
import { codeOf, sheetView, withNames } from './sheet-view.js'

/** A sheet that was torn, wetted or written on by mistake: its number is used up, and the reason stays with it. */
export const spoilSheet = command({
  roles: SHEET_ROLES,
  params: ById,
  input: SpoilSheetBody,
  output: BlankSheetView,
  async run({ tx, actor, now, record }, { id, reason }) {
    const { count } = await tx.blankSheet.updateMany({
      where: { id, enteredAt: null, spoiledAt: null },
      data: { spoiledAt: now, spoiledBy: actor.userId, spoiledReason: reason.trim() },
    })
    const row = await tx.blankSheet.findUnique({ where: { id }, include: withNames })
    if (row === null) throw new MillError('not-found')
    if (count === 0) throw closedSheet(row, 'reason')
    record('sheet.spoiled', 'blank-sheet', id, { sheet: codeOf(row), reason: reason.trim() })
    return sheetView(row)
  },
})
