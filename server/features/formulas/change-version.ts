import { ById } from '#contract/lists'
import { ChangeVersionBody, VersionView } from '#contract/formulas'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { Prisma } from '#platform/database/generated/client'
import { checkLimitFields } from './limit-fields.js'
import { guardFailed } from './version-guard.js'
import { wholeVersion } from './whole-version.js'

export const changeVersion = command({
  roles: ['nutritionist', 'manager'],
  params: ById,
  input: ChangeVersionBody,
  ifMatch: true,
  output: VersionView,
  async run({ tx, now, record }, { id, revision, limits, medication, note }) {
    const before = await tx.formulaVersion.findUnique({ where: { id } })
    if (before === null) throw new MillError('not-found')
    await checkLimitFields(tx, { limits, medication })
    const { count } = await tx.formulaVersion.updateMany({
      where: { id, revision, status: 'draft' },
      data: { limits, medication: medication ?? Prisma.DbNull, note, revision: { increment: 1 } },
    })
    if (count === 0) throw guardFailed(before, revision, 'formula-not-draft')
    record('formula.changed', 'formula-version', id, { version: before.version, revision: revision + 1 })
    return wholeVersion(tx, id, now)
  },
})
