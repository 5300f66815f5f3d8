import type { SheetKind } from '#core/sheets/sheet'
import { codeOf } from '#features/sheets/sheet-view'
import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { createUser } from '../users.js'

export type SheetFacts = { readonly kind?: SheetKind; readonly count?: number; readonly printedAt?: Date }
export type BuiltSheet = { readonly id: string; readonly code: string; readonly bundleId: string }

const HOUR_MS = 3_600_000

/** Blank sheets as they lie in the drawer, printed an hour ago unless the facts say otherwise. */
export const makeSheets = async (db: Db, facts: SheetFacts = {}): Promise<BuiltSheet[]> => {
  const { kind = 'receiving', count = 1, printedAt = new Date(Date.now() - HOUR_MS) } = facts
  const [bundleId, printedBy] = [newId(), (await createUser(db, { role: 'manager' })).id]
  const rows = await db.blankSheet.createManyAndReturn({
    data: Array.from({ length: count }, () => ({ id: newId(), kind, bundleId, printedAt, printedBy })),
  })
  return rows.toSorted((a, b) => a.number - b.number).map((row) => ({ id: row.id, code: codeOf(row), bundleId }))
}
