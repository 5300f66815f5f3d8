import { IngredientDetailView, IngredientListQuery, IngredientView, SourceListQuery, SourceView } from '#contract/ingredients'
import { ByKey } from '#contract/lists'
import { MillError } from '#core/errors'
import type { Prisma } from '#platform/database/client'
import { containing, onlyKeys, rowsOf } from '#platform/list-page'
import { loadToday } from '#platform/mill-day'
import { query } from '#platform/query'
import { detailView, ingredientViews, withBook } from './ingredient-view.js'
import { loadCover, loadMeasured, loadPaid } from './ingredient-use.js'
import { STAFF } from '#platform/staff'

export const listIngredients = query({
  roles: STAFF,
  input: IngredientListQuery,
  output: IngredientView,
  list: true,
  async run({ db, now }, { page, perPage, sort, order, q, id, category, inStore }) {
    const where: Prisma.IngredientWhereInput = {
      AND: [
        onlyKeys(id),
        category === undefined ? {} : { category },
        inStore === undefined ? {} : { lots: { some: { onHandKg: { gt: 0 } } } },
        q === undefined ? {} : { OR: [{ id: containing(q) }, { nameEn: containing(q) }, { nameSw: containing(q) }] },
      ],
    }
    const rows = await db.ingredient.findMany({ where, orderBy: [{ [sort]: order }, { id: 'asc' }], ...rowsOf({ page, perPage }) })
    return { items: await ingredientViews(db, rows, await loadToday(db, now)), total: await db.ingredient.count({ where }) }
  },
})

export const getIngredient = query({
  roles: STAFF,
  params: ByKey,
  output: IngredientDetailView,
  async run({ db, now }, { id }) {
    const row = await db.ingredient.findUnique({ where: { id }, include: withBook })
    if (row === null) throw new MillError('not-found')
    const today = await loadToday(db, now)
    const [view] = await ingredientViews(db, [row], today)
    if (view === undefined) throw new MillError('not-found')
    const cover = await loadCover(db, { id, freeKg: view.freeKg, now, today })
    return { ...detailView(row, view), paid: await loadPaid(db, id), measured: await loadMeasured(db, id), cover }
  },
})

export const listSources = query({
  roles: STAFF,
  input: SourceListQuery,
  output: SourceView,
  list: true,
  async run({ db }, { page, perPage, order, q, id }) {
    const where: Prisma.SourceTextWhereInput = {
      AND: [
        id === undefined ? {} : { key: { in: id.split(',') } },
        q === undefined ? {} : { OR: [{ key: containing(q) }, { citation: containing(q) }] },
      ],
    }
    const rows = await db.sourceText.findMany({ where, orderBy: { key: order }, ...rowsOf({ page, perPage }) })
    return { items: rows.map(({ key, citation }) => ({ id: key, citation })), total: await db.sourceText.count({ where }) }
  },
})
