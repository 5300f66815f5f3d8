import { isAnalyte, type AnalyteId } from '#core/composition/analytes'
import { LIMIT_IN_SD, type AssayErrorRow } from '#core/composition/assay-error'
import { readTable, textOf, type Cells } from './reference-csv.js'

const ANALYTE_OF: Readonly<Record<string, AnalyteId>> = {
  crude_protein: 'CP',
  ether_extract: 'EE',
  crude_fibre: 'CF',
  calcium: 'Ca',
  total_phosphorus: 'totP',
  sodium: 'Na',
  lysine_total: 'Lys',
  methionine_total: 'Met',
}

/** The ring test of all analyses of the usual scheme speaks for the analytes without a row. */
const RING_TEST = 'weende_scheme_all'

const analyteOf = (word: string): AssayErrorRow['analyte'] | undefined =>
  word === RING_TEST ? 'any' : (ANALYTE_OF[word] ?? (isAnalyte(word) ? word : undefined))

type Band = Pick<AssayErrorRow, 'fromPct' | 'toPct'>
const ANY: Band = { fromPct: 0, toPct: 300 }

/** "10.1-20 %", "over 30 %", "below 5 %", "10 % or more", and whatever names no figure as any level. Bands meet without a gap. */
const bandOf = (level: string): Band => {
  const [first, second] = (level.match(/[\d.]+/g) ?? []).map(Number)
  if (first === undefined) return ANY
  if (level.startsWith('below')) return { fromPct: 0, toPct: first }
  if (level.startsWith('over') || level.endsWith('or more')) return { fromPct: first, toPct: ANY.toPct }
  return second === undefined ? ANY : { fromPct: first === 0 ? 0 : Math.floor(first), toPct: second }
}

/** The upper end of what is printed ("0.3 to 6.2"), because a range over laboratories promises no better. */
const upperFigure = (text: string): number | undefined => (text.match(/[\d.]+/g) ?? []).map(Number).at(-1)

const MEANT =
  /^(repeatability sd|largest allowed difference|standard error of prediction|relative repeatability sd|sd between laboratories|reproducibility sd|relative reproducibility sd)/

const errorRow = (row: Cells, figure: AssayErrorRow['figure']): AssayErrorRow[] => {
  const [analyte, kind, figureText] = [analyteOf(textOf(row, 'nutrient')), textOf(row, `${figure}_kind`), textOf(row, figure)]
  const printed = upperFigure(figureText.split('%')[0] ?? '')
  if (analyte === undefined || printed === undefined || !MEANT.test(kind)) return []
  const sd = kind.startsWith('largest allowed difference') ? printed / LIMIT_IN_SD : printed
  const relative = kind.startsWith('relative') || figureText.includes('%')
  const method = textOf(row, 'method').startsWith('near infrared') ? 'near-infrared' : 'chemical'
  const band = analyte === 'any' ? ANY : bandOf(textOf(row, 'level'))
  const read = textOf(row, 'seen') !== 'memory'
  return [
    { analyte, method, ...band, figure, sdPoints: relative ? null : sd, cvPct: relative ? sd : null, source: textOf(row, 'source'), read },
  ]
}

/** Errors of analysis as standard deviations; rows of legal limits, of sub-sampling and of formulas of a guarantee are no such figure. */
export const readAssayErrors = (): AssayErrorRow[] =>
  readTable('assay_error.csv', ['nutrient', 'method', 'level', 'repeatability', 'repeatability_kind', 'source', 'seen']).flatMap((row) => [
    ...errorRow(row, 'repeatability'),
    ...errorRow(row, 'reproducibility'),
  ])
