import { z } from 'zod'
import { ById } from '#contract/lists'
import { VersionView } from '#contract/formulas'
import { fieldError, MillError } from '#core/errors'
import { command } from '#platform/command'
import { refuseBlocks } from './blocks.js'
import { checkVersion } from './check-version.js'
import { contentHash } from './content-hash.js'
import { limitsOfRow, medicationOfRow, type VersionWhole, withFormula } from './version-view.js'
import { guardFailed } from './version-guard.js'
import { wholeVersion } from './whole-version.js'

/** The hash of everything that an approval signs; computed from the row, so that anybody can compute it again. */
export const signedHash = (row: VersionWhole): string =>
  contentHash({
    formulaId: row.formulaId,
    version: row.version,
    stage: row.formula.stage,
    requirementSource: row.requirementSource,
    limits: limitsOfRow(row),
    medication: medicationOfRow(row),
    note: row.note,
  })

export const submitVersion = command({
  roles: ['nutritionist', 'manager'],
  params: ById,
  input: z.strictObject({}),
  ifMatch: true,
  output: VersionView,
  async run({ tx, actor, now, record }, { id, revision }) {
    const row = await tx.formulaVersion.findUnique({ where: { id }, include: withFormula })
    if (row === null) throw new MillError('not-found')
    if (row.status !== 'draft') throw guardFailed(row, revision, 'formula-not-draft')
    if (limitsOfRow(row).nutrients.length === 0) throw fieldError('bad-input', 'limits.nutrients', 'empty', 'at least one nutrient limit')
    refuseBlocks(await checkVersion(tx, row, now))
    const hash = signedHash(row)
    const { count } = await tx.formulaVersion.updateMany({
      where: { id, revision, status: 'draft' },
      data: { status: 'submitted', submittedBy: actor.userId, submittedAt: now, contentHash: hash, revision: { increment: 1 } },
    })
    if (count === 0) throw new MillError('stale-revision')
    record('formula.submitted', 'formula-version', id, { formula: row.formula.number, version: row.version, contentHash: hash })
    return wholeVersion(tx, id, now)
  },
})
