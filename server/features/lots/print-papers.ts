import { MillError } from '#core/errors'
import { ById } from '#contract/lists'
import { LotPapersView, PapersQuery } from '#contract/lots'
import { loadMill } from '#features/requirements/mill'
import { document, query, type QueryContext } from '#platform/query'
import { STAFF } from '#platform/staff'
import { lotPapers } from './lot-papers-document.js'
import { sampleLabelPdf, stackCardPdf } from './lot-papers-pdf.js'
import { withNames } from './lot-view.js'

type Asked = { readonly id: string; readonly language?: 'en' | 'sw' | undefined }

const loadPapers = async ({ db, actor, now }: QueryContext, { id, language }: Asked): Promise<LotPapersView> => {
  const row = await db.lot.findUnique({
    where: { id },
    include: { ...withNames, parents: { select: { parent: { select: { number: true } } }, orderBy: { kg: 'desc' } } },
  })
  if (row === null) throw new MillError('not-found')
  const madeOf = row.parents.map(({ parent }) => parent.number)
  const mill = await loadMill(db)
  return lotPapers({ row, madeOf, mill, language: language ?? mill.sheetLanguage, printedAt: now, printedBy: actor.name })
}

export const getLotPapers = query({ roles: STAFF, params: ById, input: PapersQuery, output: LotPapersView, run: loadPapers })

const printed = (name: string, draw: (papers: LotPapersView, at: Date) => Promise<Uint8Array>) =>
  document({
    roles: STAFF,
    params: ById,
    input: PapersQuery,
    contentType: 'application/pdf',
    async run(context, asked) {
      const papers = await loadPapers(context, asked)
      return { fileName: `${name}-${papers.lotNumber}.pdf`, bytes: await draw(papers, context.now) }
    },
  })

export const printStackCard = printed('stack-card', stackCardPdf)
export const printSampleLabel = printed('sample-label', sampleLabelPdf)
