import type { LotComposition } from '#core/composition/compose-lot'
import type { HeapPart } from '#core/composition/derived-heap'
import type { Drying } from '#core/composition/derived-lot'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { withNames, type LotRow } from './lot-view.js'

const withMaking = {
  ...withNames,
  making: { select: { moistureBeforePct: true, moistureAfterPct: true } },
  parents: { select: { parentId: true, kg: true }, orderBy: { parentId: 'asc' } },
} as const satisfies Prisma.LotInclude
type MadeRow = Prisma.LotGetPayload<{ include: typeof withMaking }>

/** Made lots among those asked for with how they were made, and every lot that they come from, however far back. */
export type Origins = { readonly made: ReadonlyMap<string, MadeRow>; readonly ancestors: ReadonlyMap<string, LotRow> }
export type Made = { readonly parts: readonly HeapPart[]; readonly drying?: Drying }

/** Nothing is read where no lot was made from others; else one query a level, and levels are few. */
export const loadOrigins = async (db: Db | Tx, rows: readonly LotRow[]): Promise<Origins> => {
  const made = new Map<string, MadeRow>()
  const ancestors = new Map<string, LotRow>()
  let open = rows.filter(({ madeBy }) => madeBy !== null).map(({ id }) => id)
  while (open.length > 0) {
    const found = await db.lot.findMany({ where: { id: { in: open } }, include: withMaking })
    for (const row of found) made.set(row.id, row)
    const parents = [...new Set(found.flatMap((row) => row.parents.map(({ parentId }) => parentId)))].filter((id) => !ancestors.has(id))
    const loaded = await db.lot.findMany({ where: { id: { in: parents } }, include: withNames })
    for (const row of loaded) ancestors.set(row.id, row)
    open = loaded.filter((row) => row.madeBy !== null && !made.has(row.id)).map(({ id }) => id)
  }
  return { made, ancestors }
}

const dryingOf = ({ madeBy, making }: MadeRow): { drying?: Drying } => {
  const [beforePct, afterPct] = [making?.moistureBeforePct ?? null, making?.moistureAfterPct ?? null]
  return madeBy !== 'drying' || beforePct === null || afterPct === null ? {} : { drying: { beforePct, afterPct } }
}

/** What a made lot is made of, its parents composed by `compose`; undefined for one that was delivered. */
export const madeOf = ({ made, ancestors }: Origins, { id }: LotRow, compose: (row: LotRow) => LotComposition): Made | undefined => {
  const row = made.get(id)
  if (row === undefined) return undefined
  const parts = row.parents.map(({ parentId, kg }): HeapPart => {
    const parent = ancestors.get(parentId)
    if (parent === undefined) throw new Error(`lot ${row.number} has a parent that is not there`)
    return { id: parentId, name: String(parent.number), kg: kg.toNumber(), composition: compose(parent) }
  })
  return { parts, ...dryingOf(row) }
}
