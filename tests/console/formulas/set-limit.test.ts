import { describe, expect, test } from 'vitest'
import { setLimit } from '../../../admin/resources/formula-versions/setLimit'
import {
  addGroup,
  addPerDay,
  addRatio,
  formOf,
  readForm,
  readTrial,
  changeCertainty,
} from '../../../admin/resources/formula-versions/versionForm'

const saved = {
  limits: {
    nutrients: [{ nutrient: 'CP' as const, min: 16, max: 18 }],
    ratios: [],
    ingredients: [{ ingredientId: 'salt', minPct: 0.3, maxPct: 0.3 }],
    groups: [],
  },
  medication: null,
  note: '',
}

describe('setting a limit from the explanation', () => {
  const form = addPerDay(addGroup(addRatio(formOf(saved), 'Ca', 'avP'), ['soya', 'sunflower']), 'Lys')

  test.each([
    ['nutrient:CP:min', 15.5, { nutrients: [{ nutrient: 'CP', min: 15.5, max: 18 }] }],
    ['nutrient:CP~worst:max', 18.5, { nutrients: [{ nutrient: 'CP', min: 16, max: 18.5 }] }],
    ['linear:ingredient/salt/eq', 0.4, { ingredients: [{ ingredientId: 'salt', minPct: 0.4, maxPct: 0.4 }] }],
    ['ratio:Ca:avP:max', 2, { ratios: [{ id: 'Ca:avP', numerator: 'Ca', denominator: 'avP', max: 2 }] }],
    ['linear:group/group-1/max', 30, { groups: [{ id: 'group-1', ingredientIds: ['soya', 'sunflower'], maxPct: 30 }] }],
  ])('moves %s alone', (row, value, limits) => {
    expect(readForm(setLimit(form, row, value)).body.limits).toMatchObject(limits)
  })

  test('moves a limit of a hen and day, and leaves a form without such a limit as it is', () => {
    expect(readForm(setLimit(form, 'ratio:per-day-Lys:min', 0.8)).body.limits.perDay).toEqual({
      birds: { weightKg: 1.75, temperatureC: 22, gainG: 0, eggMassG: 50 },
      limits: [{ nutrient: 'Lys', minPerDay: 0.8 }],
    })
    expect(setLimit(form, 'nutrient:Ca:min', 3)).toBe(form)
    expect(setLimit(form, 'batch', 3)).toBe(form)
  })

  test('keeps certainty through reading and saving, and nothing where a limit is held on average', () => {
    expect(readForm(changeCertainty(form, 0, '0.95')).body.limits.nutrients).toEqual([
      { nutrient: 'CP', min: 16, max: 18, certainty: 0.95 },
    ])
    expect(readForm(form).body.limits.nutrients).toEqual([{ nutrient: 'CP', min: 16, max: 18 }])
    const kept = { ...saved, limits: { ...saved.limits, nutrients: [{ nutrient: 'CP' as const, min: 16, certainty: 0.99 }] } }
    expect(readForm(formOf(kept)).body.limits.nutrients).toEqual([{ nutrient: 'CP', min: 16, certainty: 0.99 }])
  })

  test('asks only for tried prices that can be read', () => {
    expect(readTrial({ prices: { soya: '95.5', maize: '', bran: 'much' }, without: ['salt'] })).toEqual({
      prices: [{ ingredientId: 'soya', pricePerKg: '95.5000' }],
      without: ['salt'],
    })
  })
})
