import { expect, test } from 'vitest'
import { withRoom } from '#core/formulation/with-room'

test('moves every side inwards by a share of its own value, whatever its sign', () => {
  const { nutrients, ratios } = withRoom(
    {
      nutrients: [
        { nutrient: 'CP', min: 16, max: 20 },
        { nutrient: 'DEB', min: -100, max: -50 },
      ],
      ratios: [{ id: 'Ca:avP', numerator: 'Ca', denominator: 'avP', min: 2 }],
      ingredients: [],
      groups: [],
    },
    0.01,
  )
  expect(nutrients[0]).toMatchObject({ nutrient: 'CP', min: 16.16, max: 19.8 })
  expect(nutrients[1]).toMatchObject({ nutrient: 'DEB', min: -99, max: -50.5 })
  expect(ratios[0]).toMatchObject({ min: 2.02 })
})

test('leaves a fixed share, and sides that would cross, as they are', () => {
  const { ingredients, groups } = withRoom(
    {
      nutrients: [],
      ratios: [],
      ingredients: [{ ingredientId: 'premix', minPct: 0.5, maxPct: 0.5 }],
      groups: [{ id: 'g', ingredientIds: [], maxPct: 10 }],
    },
    0.01,
  )
  expect(ingredients).toEqual([{ ingredientId: 'premix', minPct: 0.5, maxPct: 0.5 }])
  expect(groups[0]).toMatchObject({ maxPct: 9.9 })
})
