import { fieldError } from '#core/errors'
import { judgeTimes, LATE_DAYS, readSheetCode, type SheetKind } from '#core/sheets/sheet'
import type { CommandContext } from '#platform/command'
import { closedSheet } from './sheet-state.js'
import { codeOf, kindOf, withNames, type SheetRow } from './sheet-view.js'

/** Which sheet, as it was typed, what it must be of, and when its event happened, with the field in which the caller said so. */
export type Entry = { readonly sheet: string; readonly kind: SheetKind; readonly at: Date; readonly atPath: string }
type About = { readonly lotId?: string; readonly batchId?: string; readonly orderId?: string }

const findSheet = async ({ tx }: CommandContext, { sheet, kind }: Entry): Promise<SheetRow> => {
  const read = readSheetCode(sheet)
  const row = read === null ? null : await tx.blankSheet.findUnique({ where: { number: read.number }, include: withNames })
  if (row === null) throw fieldError('bad-input', 'sheet', 'sheet-unknown', 'no sheet of this number was printed', { sheet })
  if (row.kind !== kind || read?.kind !== kind) {
    const facts = { sheet: codeOf(row), of: kindOf(row.kind), wanted: kind }
    throw fieldError('bad-input', 'sheet', 'sheet-of-other-kind', `sheet ${facts.sheet} is for ${facts.of}, not for ${kind}`, facts)
  }
  return row
}

const requireTimes = (row: SheetRow, { at, atPath }: Entry, now: Date): number => {
  const judged = judgeTimes({ printedAt: row.printedAt, happenedAt: at, enteredAt: now })
  switch (judged.kind) {
    case 'in-the-future':
      throw fieldError('bad-input', atPath, 'in-the-future', 'not after now', { now: now.toISOString() })
    case 'before-printed': {
      const facts = { sheet: codeOf(row), printedAt: row.printedAt.toISOString() }
      throw fieldError('bad-input', atPath, 'before-printed', `sheet ${facts.sheet} was printed at ${facts.printedAt}, not before`, facts)
    }
    case 'late':
      return judged.days
    case 'good':
      return 0
    default:
      return judged satisfies never
  }
}

/**
 * Marks a sheet as entered, in the transaction that books what stands on it. A second entry is refused, also one at the same moment: the
 * state stands in the WHERE. What comes very late is taken, and a discrepancy tells the manager, because the books were wrong so long.
 */
export const enterSheet = async (ctx: CommandContext, entry: Entry, about: About): Promise<void> => {
  const { tx, actor, now, newId, record } = ctx
  const row = await findSheet(ctx, entry)
  const { count } = await tx.blankSheet.updateMany({
    where: { id: row.id, enteredAt: null, spoiledAt: null },
    data: { ...about, happenedAt: entry.at, enteredAt: now, enteredBy: actor.userId },
  })
  if (count === 0) throw closedSheet(await tx.blankSheet.findUniqueOrThrow({ where: { id: row.id }, include: withNames }), 'sheet')
  const lateDays = requireTimes(row, entry, now)
  const facts = { sheet: codeOf(row), happenedAt: entry.at.toISOString(), enteredAt: now.toISOString() }
  record('sheet.entered', 'blank-sheet', row.id, { ...facts, ...about })
  if (lateDays === 0) return
  const late = { ...facts, days: lateDays, allowedDays: LATE_DAYS }
  const id = newId()
  const kind = 'sheet-entered-late'
  const { number } = await tx.discrepancy.create({
    data: { id, kind, ...about, facts: late, openedAt: now, openedBy: actor.userId },
    select: { number: true },
  })
  record('discrepancy.opened', 'discrepancy', id, { number, kind, ...about, ...late })
}
