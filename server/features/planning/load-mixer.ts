import { fieldError, MillError } from '#core/errors'
import type { Scales } from '#core/milling/scales'
import { grams, parseKg, type Grams } from '#core/quantity/mass'
import type { Db } from '#platform/database/client'

export type Mixer = {
  readonly id: string
  readonly name: string
  readonly maxLoad: Grams
  readonly minLoad: Grams
  readonly scales: Scales
}

/** The mixer that was named, or the mill's first, with its scales. */
export const loadMixer = async (db: Db, mixerId: string | null): Promise<Mixer> => {
  const row =
    mixerId === null ? await db.mixer.findFirst({ orderBy: { number: 'asc' } }) : await db.mixer.findUnique({ where: { id: mixerId } })
  if (row === null) {
    if (mixerId !== null) throw fieldError('bad-input', 'mixerId', 'unknown', 'there is no such mixer')
    throw new MillError('wrong-state', { missing: 'mixer' })
  }
  return {
    id: row.id,
    name: row.name,
    maxLoad: parseKg(row.maxLoadKg.toFixed(3)),
    minLoad: parseKg(row.minLoadKg.toFixed(3)),
    scales: {
      floorStep: grams(row.floorScaleStepG),
      tableStep: grams(row.tableScaleStepG),
      tableMax: parseKg(row.tableScaleMaxKg.toFixed(3)),
    },
  }
}
