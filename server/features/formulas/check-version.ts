import type { FindingView } from '#contract/findings'
import { checkFormula, type FormulaFacts } from '#core/safety/check-formula'
import { loadCheckContext } from '#features/lots/lot-safety'
import type { Db, Tx } from '#platform/database/client'
import { limitsOfRow, medicationOfRow } from './version-view.js'

/** A formula as the safety checks of core want it. */
export const formulaFacts = (row: {
  readonly formula: { readonly stage: string }
  readonly limits: unknown
  readonly medication: unknown
}): FormulaFacts => {
  const medication = medicationOfRow(row)
  return { stage: row.formula.stage, limits: limitsOfRow(row), medication: medication === null ? [] : [medication] }
}

/** What the safety checks say of a version's limits and medicine, worst first. */
export const checkVersion = async (db: Db | Tx, row: Parameters<typeof formulaFacts>[0], now: Date): Promise<FindingView[]> =>
  checkFormula(formulaFacts(row), await loadCheckContext(db, now))
