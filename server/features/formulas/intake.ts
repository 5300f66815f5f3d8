import { IntakeBody, IntakeView } from '#contract/solving'
import { fieldError } from '#core/errors'
import { henEnergyKcal } from '#core/requirement/hen-energy'
import { costPerBirdDay, costPerDozenEggs, feedForEnergyG } from '#core/requirement/intake'
import { query } from '#platform/query'

/** What a laying hen needs, eats and costs in a day. */
export const henIntake = query({
  roles: ['nutritionist', 'manager'],
  input: IntakeBody,
  output: IntakeView,
  async run(_context, { eggWeightG, ameKcalPerKg, costPerTonne, ...hen }) {
    const energyKcal = henEnergyKcal(hen)
    if (energyKcal === null) throw fieldError('bad-input', 'temperatureC', 'out-of-range', 'a hen within what the equation knows')
    const feedG = feedForEnergyG(energyKcal, ameKcalPerKg)
    const birdDay = costPerTonne === null ? null : costPerBirdDay(feedG, costPerTonne)
    return {
      energyKcal,
      feedG,
      costPerBirdDay: birdDay,
      costPerDozenEggs: birdDay === null ? null : costPerDozenEggs(birdDay, { eggMassG: hen.eggMassG, eggWeightG }),
      source: 'NRC1994',
      read: false,
    }
  },
})
