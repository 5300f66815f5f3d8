import type { BlankPaperView } from '#contract/sheets'
import type { SheetKind } from '#core/sheets/sheet'
import { writtenAt } from '#platform/documents/written-date'
import { BLANK_SHEET_WORDS, looksIn } from './blank-sheet-words.js'

export type BlankFacts = {
  readonly kind: SheetKind
  readonly codes: readonly string[]
  readonly language: 'en' | 'sw'
  readonly mill: { readonly name: string; readonly phone: string; readonly timeZone: string; readonly currency: string }
  readonly printedAt: Date
  readonly printedBy: string
}
type Table = {
  readonly title: string
  readonly columns: readonly { readonly label: string; readonly share: number; readonly unit?: string }[]
  readonly rows: number
}
type Box = { readonly label: string; readonly columns: number; readonly unit?: string; readonly hint?: string }

const boxOf = ({ label, columns, unit = '', hint = '' }: Box) => ({ label, columns, unit, hint })
const tableOf = ({ title, columns, rows }: Table) => ({
  title,
  columns: columns.map(({ label, share, unit = '' }) => ({ label, share, unit })),
  rows,
})

/** Blank sheets of one kind as a model in one language: the PDF and the print view both show exactly this. */
export const blankPaper = ({ kind, codes, language, mill, printedAt, printedBy }: BlankFacts): BlankPaperView => {
  const words = BLANK_SHEET_WORDS[language]
  const { title, boxes, tables, after, cautions, signatures } = words.kind(mill.currency)[kind]
  return {
    language,
    kind,
    mill: `${mill.name}, ${mill.phone}`,
    printed: words.printed(writtenAt(printedAt, mill.timeZone, language), printedBy),
    title,
    use: words.use,
    when: words.when,
    boxes: boxes.map(boxOf),
    tables: tables.map(tableOf),
    ticks: kind === 'receiving' ? { title: words.looksTitle, points: looksIn(words) } : null,
    after: after.map(boxOf),
    cautions: [...cautions],
    signatures: [...signatures],
    entered: words.entered,
    sheets: codes.map((code) => ({ code, qr: `KINU SHEET ${code}` })),
  }
}
