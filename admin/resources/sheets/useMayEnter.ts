import type { SheetKind } from '#core/sheets/sheet'
import { useMay } from '../../providers/useMay'

/** The command that books what stands on a sheet of each kind; who may not give it need not type the sheet first. */
const BOOKS = {
  receiving: ['create', 'lots'],
  weighing: ['finish', 'batches'],
  collection: ['collect', 'orders'],
} as const satisfies Record<SheetKind, readonly [string, string]>

export const useMayEnter = (): ((kind: SheetKind) => boolean) => {
  const may = useMay()
  return (kind) => {
    const [action, resource] = BOOKS[kind]
    return may(action, resource)
  }
}
