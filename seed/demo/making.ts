import { makeLot } from '#features/lots/derive-lot'
import type { Deed, MomentBefore, Past } from './past.js'

/** The newest released lots of white maize with as much as is taken of them. */
const maizeWith = async (past: Past, kg: number, many: number): Promise<string[]> => {
  const rows = await past.db.lot.findMany({
    where: { ingredientId: 'maize_white', status: 'released', madeBy: null },
    select: { id: true, onHandKg: true, reservedKg: true },
    orderBy: { number: 'desc' },
  })
  const enough = rows.filter((row) => row.onHandKg.minus(row.reservedKg).gte(kg)).slice(0, many)
  if (enough.length < many) throw new Error('The demo has too little maize for its bin')
  return enough.map(({ id }) => id)
}

/** Part of one lot of maize was dried further to keep longer, and two lots lie heaped in one bin. Invented. */
export const deedsOfMaking = (when: MomentBefore): Deed[] => [
  {
    at: when(1, 17),
    run: async (past) => {
      const [lotId = ''] = await maizeWith(past, 500, 1)
      await past.do('store', makeLot, {
        kind: 'drying',
        inputs: [{ lotId, kg: '500' }],
        // 500 kg x (100 - 13.0) / (100 - 12.0) = 494.3 kg, and half a kilogram of dust on the floor.
        gotKg: '493.8',
        lossKind: 'moisture',
        moistureBeforePct: 13,
        moistureAfterPct: 12,
        storagePlace: 'A2',
        happenedAt: null,
        note: 'Two days on the drying floor',
      })
    },
  },
  {
    at: when(1, 17, 30),
    run: async (past) => {
      const lots = await maizeWith(past, 300, 2)
      await past.do('store', makeLot, {
        kind: 'bin',
        inputs: lots.map((lotId) => ({ lotId, kg: '300' })),
        gotKg: '600',
        lossKind: null,
        moistureBeforePct: null,
        moistureAfterPct: null,
        storagePlace: 'Bin 1',
        happenedAt: null,
        note: '',
      })
    },
  },
]
