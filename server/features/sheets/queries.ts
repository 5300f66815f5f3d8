import { ById } from '#contract/lists'
import { BlankPaperView, BlankSheetListQuery, BlankSheetView, SheetPaperQuery } from '#contract/sheets'
import { MillError } from '#core/errors'
import { readSheetCode } from '#core/sheets/sheet'
import { loadMill } from '#features/requirements/mill'
import type { Prisma } from '#platform/database/client'
import { containing, onlyIds, rowsOf } from '#platform/list-page'
import { document, query, type QueryContext } from '#platform/query'
import { STAFF } from '#platform/staff'
import { blankPaper } from './blank-sheet-document.js'
import { blankSheetPdf } from './blank-sheet-pdf.js'
import { SHEET_ROLES } from './issue-sheets.js'
import { codeOf, inState, kindOf, sheetView, withNames } from './sheet-view.js'

const found = (q: string): Prisma.BlankSheetWhereInput => {
  const read = readSheetCode(q)
  if (read !== null) return { number: read.number, ...(read.kind === null ? {} : { kind: read.kind }) }
  return { OR: [{ printedByUser: { name: containing(q) } }, { enteredByUser: { name: containing(q) } }, { spoiledReason: containing(q) }] }
}

export const listSheets = query({
  roles: STAFF,
  input: BlankSheetListQuery,
  output: BlankSheetView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id, state, kind }) {
    const where: Prisma.BlankSheetWhereInput = {
      AND: [
        onlyIds(id),
        q === undefined ? {} : found(q),
        state === undefined ? {} : { OR: state.map(inState) },
        kind === undefined ? {} : { kind: { in: kind } },
      ],
    }
    const orderBy = [{ [sort]: order }, { number: order }]
    const rows = await db.blankSheet.findMany({ where, include: withNames, orderBy, ...rowsOf({ page, perPage }) })
    return { items: rows.map(sheetView), total: await db.blankSheet.count({ where }) }
  },
})

export const getSheet = query({
  roles: STAFF,
  params: ById,
  output: BlankSheetView,
  async run({ db }, { id }) {
    const row = await db.blankSheet.findUnique({ where: { id }, include: withNames })
    if (row === null) throw new MillError('not-found')
    return sheetView(row)
  },
})

type Asked = { readonly id: string; readonly language?: 'en' | 'sw' | undefined }

/** Only sheets that can still be entered: a number that is used up must not lie in the drawer a second time. */
const loadPaper = async ({ db, now, actor }: QueryContext, { id: bundleId, language }: Asked): Promise<BlankPaperView> => {
  const rows = await db.blankSheet.findMany({ where: { bundleId, ...inState('printed') }, orderBy: { number: 'asc' } })
  const [first] = rows
  if (first === undefined) throw new MillError('not-found')
  const mill = await loadMill(db)
  const about = { mill, language: language ?? mill.sheetLanguage, printedAt: now, printedBy: actor.name }
  return blankPaper({ ...about, kind: kindOf(first.kind), codes: rows.map(codeOf) })
}

export const getSheetPaper = query({ roles: SHEET_ROLES, params: ById, input: SheetPaperQuery, output: BlankPaperView, run: loadPaper })

export const printSheets = document({
  roles: SHEET_ROLES,
  params: ById,
  input: SheetPaperQuery,
  contentType: 'application/pdf',
  async run(context, asked) {
    const paper = await loadPaper(context, asked)
    return { fileName: `sheets-${paper.sheets[0]?.code ?? ''}.pdf`, bytes: await blankSheetPdf(paper, context.now) }
  },
})
