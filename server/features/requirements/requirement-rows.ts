import type { RequirementRow } from '#core/requirement/rows'
import type { Db, Prisma, Tx } from '#platform/database/client'

type Row = Prisma.RequirementGetPayload<object>

export const requirementRow = (row: Row): RequirementRow => ({
  stage: row.stage,
  nutrient: row.nutrient,
  unit: row.unit,
  ...(row.minValue === null ? {} : { min: row.minValue }),
  ...(row.targetValue === null ? {} : { target: row.targetValue }),
  ...(row.maxValue === null ? {} : { max: row.maxValue }),
  basis: row.basis,
  ...(row.referenceEnergyKcalPerKg === null ? {} : { referenceEnergyKcalPerKg: row.referenceEnergyKcalPerKg }),
  ...(row.referenceIntakeGPerDay === null ? {} : { referenceIntakeG: row.referenceIntakeGPerDay }),
  source: row.source,
  read: row.seen === 'read',
  note: row.note,
})

/** The limits that the tables state for a stage, of every source; each source is a set of its own. */
export const loadRequirements = async (db: Db | Tx, stage: string): Promise<RequirementRow[]> =>
  (await db.requirement.findMany({ where: { stage }, orderBy: { id: 'asc' } })).map(requirementRow)
