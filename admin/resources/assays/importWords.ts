import type { ImportCheckView } from '#contract/laboratory'
import { COLUMNS, type Column } from '#core/laboratory/columns'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'
import type { ProblemField } from '../../providers/http'

export type ImportFault = ImportCheckView['faultRows'][number]
export type ImportResult = ImportCheckView['goodRows'][number]

const isColumn = (word: unknown): word is Column => COLUMNS.some((column) => column === word)

/** Columns by the names that the empty form gives them. */
const named = (facts: Readonly<Record<string, unknown>>, t: Translate<StaffKey>): Readonly<Record<string, unknown>> => {
  const { columns } = facts
  if (!Array.isArray(columns)) return facts
  return {
    ...facts,
    columns: columns.map((column: unknown) => (isColumn(column) ? t(`assayImport.columns.${column}`) : String(column))).join(', '),
  }
}

/** What is wrong with a file or a row: the sentence of this page for its code, else that of every form (`others`). */
export const importFaultWords = (
  { code, message, facts = {} }: Pick<ProblemField, 'code' | 'message' | 'facts'>,
  t: Translate<StaffKey>,
  others: (field: ProblemField) => string,
): string => {
  const key = `assayImport.fault.${code}` as StaffKey
  const words = t(key, named(facts, t) as Record<string, string>)
  return words === key ? others({ path: '', code, message, facts }) : words
}
