import { describe, expect, test } from 'vitest'
import {
  addIngredient,
  addNutrient,
  canSolve,
  changeRow,
  formOf,
  placeOf,
  readForm,
} from '../../../admin/resources/formula-versions/versionForm'

const LIMITS = {
  nutrients: [
    { nutrient: 'CP', min: 16.5, max: 18 },
    { nutrient: 'CF', max: 7 },
    { nutrient: 'Ca', min: 3.2 },
  ],
  ratios: [],
  ingredients: [{ ingredientId: 'premix_generic', minPct: 0.5, maxPct: 0.5 }],
  groups: [],
} satisfies Parameters<typeof formOf>[0]['limits']
const form = () => formOf({ limits: LIMITS, medication: null, note: 'for hens' })

describe('the form of a draft', () => {
  test('gives back the limits that it was made from', () => {
    const { body, faults } = readForm(form())
    expect(body).toEqual({ limits: LIMITS, medication: null, note: 'for hens' })
    expect(faults.size).toBe(0)
  })

  test('leaves a removed row out, and names the rows after it as the mill will', () => {
    const without = changeRow(form(), 'nutrients', 0, { removed: true })
    expect(readForm(without).body.limits.nutrients.map(({ nutrient }) => nutrient)).toEqual(['CF', 'Ca'])
    expect(placeOf(without.nutrients, 2)).toBe(1)
    const wrong = changeRow(without, 'nutrients', 2, { min: 'much' })
    expect([...readForm(wrong).faults]).toEqual([['limits.nutrients.1.min', 'not-a-number']])
  })

  test('brings a removed row back with its figures instead of adding an empty one', () => {
    const back = addNutrient(changeRow(form(), 'nutrients', 0, { removed: true }), 'CP')
    expect(readForm(back).body.limits).toEqual(LIMITS)
  })

  test('never guesses what a comma means, and says when the sides are crossed', () => {
    expect([...readForm(changeRow(form(), 'nutrients', 1, { max: '1,5' })).faults]).toEqual([['limits.nutrients.1.max', 'which-number']])
    expect([...readForm(changeRow(form(), 'nutrients', 0, { min: '19' })).faults]).toEqual([['limits.nutrients.0.min', 'min-above-max']])
  })

  test('can be solved while a new row waits for its figures, but is not saved so', () => {
    const waiting = readForm(addIngredient(form(), 'maize_white'))
    expect([...waiting.faults]).toEqual([['limits.ingredients.1.minPct', 'empty']])
    expect(canSolve(waiting)).toBe(true)
    expect(waiting.body.limits.ingredients).toEqual(LIMITS.ingredients)
  })

  test('cannot be solved from figures that cannot be read, nor with half a medicine', () => {
    expect(canSolve(readForm(changeRow(form(), 'nutrients', 0, { min: 'x' })))).toBe(false)
    const medicine = { ...form(), medication: { active: 'salinomycin', mgPerKg: '', ingredientId: 'salinomycin_premix_12' } }
    expect(readForm(medicine).faults.get('medication.mgPerKg')).toBe('empty')
    expect(canSolve(readForm(medicine))).toBe(false)
  })
})
