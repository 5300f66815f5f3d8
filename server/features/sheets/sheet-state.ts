import { fieldError, type MillError } from '#core/errors'
import type { SheetRow } from './sheet-view.js'
import { codeOf } from './sheet-view.js'

/** Why a sheet takes nothing more: by whom and when it was entered, or why it was spoiled. `path` is where the caller named it. */
export const closedSheet = (row: SheetRow, path: string): MillError => {
  const sheet = codeOf(row)
  if (row.enteredAt !== null) {
    const by = row.enteredByUser?.name ?? ''
    const facts = { sheet, by, at: row.enteredAt.toISOString() }
    return fieldError('wrong-state', path, 'sheet-entered', `sheet ${sheet} was entered by ${by} at ${facts.at}`, facts)
  }
  const reason = row.spoiledReason ?? ''
  const facts = { sheet, by: row.spoiledByUser?.name ?? '', at: row.spoiledAt?.toISOString() ?? '', reason }
  return fieldError('wrong-state', path, 'sheet-spoiled', `sheet ${sheet} was spoiled: ${reason}`, facts)
}
