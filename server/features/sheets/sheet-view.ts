import type { BlankSheetView, SHEET_STATES } from '#contract/sheets'
import { SHEET_KINDS, sheetCode, type SheetKind } from '#core/sheets/sheet'
import type { Prisma } from '#platform/database/client'

const named = { select: { name: true } } as const
const numbered = { select: { id: true, number: true } } as const
export const withNames = {
  printedByUser: named,
  enteredByUser: named,
  spoiledByUser: named,
  lot: numbered,
  batch: numbered,
  order: numbered,
} as const satisfies Prisma.BlankSheetInclude
export type SheetRow = Prisma.BlankSheetGetPayload<{ include: typeof withNames }>

type State = (typeof SHEET_STATES)[number]

/** Which rows are in a state. */
export const inState = (state: State): Prisma.BlankSheetWhereInput => {
  switch (state) {
    case 'printed':
      return { enteredAt: null, spoiledAt: null }
    case 'entered':
      return { enteredAt: { not: null } }
    case 'spoiled':
      return { spoiledAt: { not: null } }
    default:
      return state satisfies never
  }
}

/** The column knows no other kinds; its constraint holds that. */
export const kindOf = (kind: string): SheetKind => {
  const known = SHEET_KINDS.find((candidate) => candidate === kind)
  if (known === undefined) throw new Error(`${kind} is no kind of sheet`)
  return known
}

export const codeOf = ({ kind, number }: { readonly kind: string; readonly number: number }): string => sheetCode(kindOf(kind), number)

export const sheetView = (row: SheetRow): BlankSheetView => ({
  id: row.id,
  number: row.number,
  code: codeOf(row),
  kind: kindOf(row.kind),
  bundleId: row.bundleId,
  state: row.enteredAt !== null ? 'entered' : row.spoiledAt !== null ? 'spoiled' : 'printed',
  printedAt: row.printedAt.toISOString(),
  printedBy: row.printedByUser.name,
  happenedAt: row.happenedAt?.toISOString() ?? null,
  enteredAt: row.enteredAt?.toISOString() ?? null,
  enteredBy: row.enteredByUser?.name ?? null,
  lot: row.lot,
  batch: row.batch,
  order: row.order,
  spoiledAt: row.spoiledAt?.toISOString() ?? null,
  spoiledBy: row.spoiledByUser?.name ?? null,
  spoiledReason: row.spoiledReason,
})
