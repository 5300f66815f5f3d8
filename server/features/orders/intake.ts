import type { Db } from '#platform/database/client'

export type Intake = { readonly gramsPerBirdDay: number; readonly knownBy: string }

/**
 * Grams a bird eats a day where no requirement table states an intake. Common practice, no source: about the middle of the stage.
 */
const COMMON_PRACTICE_G: { readonly [stage: string]: number } = {
  broiler_pre_starter_0_1wk: 20,
  broiler_starter_0_3wk: 50,
  broiler_grower_3_6wk: 130,
  broiler_finisher_6_8wk: 190,
  broiler_breeder_hen: 155,
  duck_starter_0_2wk: 60,
  duck_grower_2_7wk: 150,
  duck_breeder: 170,
  quail_grower: 14,
  turkey_starter_0_4wk: 45,
  turkey_grower_4_8wk: 120,
  turkey_grower_8_12wk: 210,
  turkey_finisher_12_16wk: 300,
  turkey_finisher_16_20wk: 380,
  turkey_finisher_20_24wk: 420,
  turkey_holding: 300,
  turkey_breeder_hen: 270,
}

/** What one bird of each stage eats a day: the mill's own default set first, then any other table, then common practice. */
export const loadIntakes = async (db: Db): Promise<ReadonlyMap<string, Intake>> => {
  const rows = await db.requirement.findMany({
    where: { referenceIntakeGPerDay: { not: null } },
    distinct: ['stage', 'source'],
    select: { stage: true, source: true, seen: true, referenceIntakeGPerDay: true },
    orderBy: { id: 'asc' },
  })
  const intakes = new Map<string, Intake>(
    Object.entries(COMMON_PRACTICE_G).map(([stage, gramsPerBirdDay]) => [stage, { gramsPerBirdDay, knownBy: 'common-practice' }]),
  )
  const byRank = [...rows].sort((a, b) => Number(a.source === 'REC') - Number(b.source === 'REC'))
  for (const { stage, seen, referenceIntakeGPerDay } of byRank) {
    if (referenceIntakeGPerDay !== null) intakes.set(stage, { gramsPerBirdDay: referenceIntakeGPerDay, knownBy: seen })
  }
  return intakes
}
