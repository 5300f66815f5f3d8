import { expect, test } from 'vitest'
import { MixView } from '#contract/formulas'
import { limitsOf } from '../../support/builders/formulas.js'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { openMill } from '../../support/mill.js'

let now = new Date()
const mill = await openMill({ clock: () => now })
await prepareMill(mill.db)

test('a lot is used to the end of the day on its label by the clock of the mill, three hours before midnight UTC', async () => {
  const lot = await makeLot(mill.db, { ingredientId: 'maize_white', expiresOn: '2026-11-25' })
  const limits = limitsOf({ ingredients: [{ ingredientId: 'maize_white', minPct: 100 }] })
  const nutritionist = await mill.as('nutritionist')
  const solveAt = async (moment: string): Promise<MixView> => {
    now = new Date(moment)
    return (await nutritionist.post('/solve', { stage: 'layer_peak', limits, batchKg: '100' })).as(MixView)
  }
  const before = await solveAt('2026-11-25T20:59:59.999Z')
  expect(before.amounts.map(({ lotId }) => lotId)).toEqual([lot.id])
  expect(before.findings.some(({ ruleId }) => ruleId === 'LOT-EXPIRED')).toBe(false)
  expect((await solveAt('2026-11-25T21:00:00.000Z')).kind).toBe('infeasible')
})
