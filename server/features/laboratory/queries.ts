import { AssayListQuery } from '#contract/laboratory'
import { AssayView } from '#contract/lots'
import { assayView, withRecorder } from '#features/lots/assay-view'
import type { Prisma } from '#platform/database/client'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'

const found = (words: string | undefined): Prisma.AssayWhereInput => {
  if (words === undefined) return {}
  const number = numberIn(words)
  return {
    OR: [
      { laboratory: containing(words) },
      { method: containing(words) },
      { note: containing(words) },
      ...(number === undefined ? [] : [{ lot: { number } }]),
    ],
  }
}

export const listAssays = query({
  roles: STAFF,
  input: AssayListQuery,
  output: AssayView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, lotId, analyte, current }) {
    const where: Prisma.AssayWhereInput = {
      AND: [
        onlyIds(id),
        lotId === undefined ? {} : { lotId },
        analyte === undefined ? {} : { analyte },
        current === undefined ? {} : { supersededBy: { is: null } },
        found(q),
      ],
    }
    const rows = await db.assay.findMany({
      where,
      include: withRecorder,
      orderBy: [{ [sort]: order }, { id: order }],
      ...rowsOf({ page, perPage }),
    })
    return { items: rows.map(assayView), total: await db.assay.count({ where }) }
  },
})
