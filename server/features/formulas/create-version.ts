import { z } from 'zod'
import { ById } from '#contract/lists'
import { VersionView } from '#contract/formulas'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { limitsOfRow, medicationOfRow } from './version-view.js'
import { wholeVersion } from './whole-version.js'

/** A new draft that starts from the last version. There is one draft at a time, so that nobody's work is passed over. */
export const createVersion = command({
  roles: ['nutritionist', 'manager'],
  params: ById,
  input: z.strictObject({}),
  output: VersionView,
  status: 201,
  async run({ tx, actor, now, newId, record }, { id: formulaId }) {
    const last = await tx.formulaVersion.findFirst({ where: { formulaId }, orderBy: { version: 'desc' }, include: { formula: true } })
    if (last === null) throw new MillError('not-found')
    if (last.status === 'draft' || last.status === 'submitted') {
      throw new MillError('already-exists', { version: last.version, status: last.status, versionId: last.id })
    }
    const id = newId()
    const medication = medicationOfRow(last)
    await tx.formulaVersion.create({
      data: {
        id,
        formulaId,
        version: last.version + 1,
        requirementSource: last.requirementSource,
        limits: limitsOfRow(last),
        ...(medication === null ? {} : { medication }),
        note: '',
        authorId: actor.userId,
        createdAt: now,
      },
    })
    record('formula.drafted', 'formula-version', id, { formula: last.formula.number, version: last.version + 1, from: last.version })
    return wholeVersion(tx, id, now)
  },
})
