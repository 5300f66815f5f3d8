import type { LotComposition } from '#core/composition/compose-lot'
import { checkLot, type CheckContext } from '#core/safety/check-lot'
import type { LotFacts } from '#core/safety/facts'
import { analysesFor } from '#core/safety/lot-duties'
import { millFinding, worstFirst, type Finding } from '#core/safety/finding'
import { loadMill, todayAt } from '#features/requirements/mill'
import { loadSafetyTables } from '#features/requirements/safety-tables'
import type { Db, Tx } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'
import { assaysOf, medicationOf, statusOf, type LotRow } from './lot-view.js'

export type LotAndComposition = { readonly row: LotRow; readonly composition: LotComposition }

const missingAnalyses = ({ row }: LotAndComposition): Finding[] => {
  const measured = new Set(assaysOf(row).map(({ analyte }) => analyte))
  return analysesFor(row.ingredient.category)
    .filter((analyte) => !measured.has(analyte))
    .map((analyte) =>
      millFinding(`LOT-TEST-${analyte.toUpperCase()}`, 'analysis', {
        severity: 'block',
        what: { code: 'required-test-missing', facts: { item: analyte, ingredientKey: row.ingredientId, required: 'mill-rule' } },
        appliesTo: String(row.number),
      }),
    )
}

export const lotFacts = ({ row, composition }: LotAndComposition): LotFacts => ({
  name: String(row.number),
  status: statusOf(row.status),
  expiresOn: row.expiresOn === null ? null : plainDate(row.expiresOn),
  medicationDeclared: row.medicationDeclared,
  medication: medicationOf(row),
  composition,
})

/** The rules in force and the mill's date, as the safety checks of core want them. */
export const loadCheckContext = async (db: Db | Tx, now: Date): Promise<CheckContext> => {
  const mill = await loadMill(db)
  return { tables: await loadSafetyTables(db), settings: { jurisdiction: mill.jurisdiction }, on: todayAt(mill, now) }
}

/** All that stands for or against the release of a lot, worst first. */
export const lotFindings = (lot: LotAndComposition, context: CheckContext): Finding[] =>
  worstFirst([...missingAnalyses(lot), ...checkLot(lotFacts(lot), context)])

/** Findings as facts of a problem or of a discrepancy. */
export const findingFacts = (findings: readonly Finding[]) =>
  findings.map(({ limit, ...finding }) => ({
    ...finding,
    limit: limit === null ? null : { ...limit },
  }))
