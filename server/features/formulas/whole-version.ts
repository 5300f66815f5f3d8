import type { z } from 'zod'
import type { VersionView } from '#contract/formulas'
import { MillError } from '#core/errors'
import type { Db, Tx } from '#platform/database/client'
import { checkVersion } from './check-version.js'
import { limitSources } from './requirement-limits.js'
import { limitsOfRow, versionView, withFormula } from './version-view.js'

/** A version as it is answered, with the origin of its limits and what the safety checks say of them now. */
export const wholeVersion = async (db: Db | Tx, id: string, now: Date): Promise<z.output<typeof VersionView>> => {
  const row = await db.formulaVersion.findUnique({ where: { id }, include: withFormula })
  if (row === null) throw new MillError('not-found')
  const key = { stage: row.formula.stage, source: row.requirementSource }
  return versionView(row, { limitSources: await limitSources(db, key, limitsOfRow(row)), findings: await checkVersion(db, row, now) })
}
