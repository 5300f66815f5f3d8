import { SHEET_KINDS, sheetsToFind, type LastEntered, type SheetKind } from '#core/sheets/sheet'
import type { Db } from '#platform/database/client'
import { codeOf, inState, kindOf } from './sheet-view.js'

const loadLastEntered = async (db: Db): Promise<LastEntered> => {
  const rows = await db.blankSheet.findMany({
    where: inState('entered'),
    orderBy: [{ kind: 'asc' }, { number: 'desc' }],
    distinct: ['kind'],
    select: { kind: true, number: true, enteredAt: true },
  })
  return new Map(
    rows.flatMap(({ kind, number, enteredAt }) => (enteredAt === null ? [] : [[kindOf(kind), { number, enteredAt }] as const])),
  )
}

export type Missing = { readonly kind: SheetKind; readonly codes: readonly string[]; readonly printedAt: Date }

/** Sheets that came back neither written nor spoiled, by kind, the oldest first. */
export const loadSheetsToFind = async (db: Db, now: Date): Promise<Missing[]> => {
  const rows = await db.blankSheet.findMany({
    where: inState('printed'),
    orderBy: { number: 'asc' },
    select: { kind: true, number: true, printedAt: true },
  })
  const open = rows.map((row) => ({ ...row, kind: kindOf(row.kind) }))
  const missing = sheetsToFind(open, await loadLastEntered(db), now)
  return SHEET_KINDS.flatMap((kind) => {
    const of = missing.filter((sheet) => sheet.kind === kind)
    const [first] = of
    return first === undefined ? [] : [{ kind, codes: of.map(codeOf), printedAt: first.printedAt }]
  })
}
