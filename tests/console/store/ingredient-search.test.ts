import { expect, test } from 'vitest'
import { findIngredients } from '../../../admin/resources/ingredients/findWords'

const named = (id: string, nameEn: string, nameSw: string) => ({ id, nameEn, nameSw })
const BOOK = [
  named('maize_white', 'White maize', 'Mahindi meupe'),
  named('omena_dagaa_meal', 'Small dried fish', 'Dagaa'),
  named('millet_finger', 'Finger millet', 'Ulezi'),
  named('sesame_cake_expeller', 'Sesame cake', 'Mashudu ya ufuta'),
  named('lucerne_meal_17', 'Lucerne meal', 'Unga wa lusini'),
  named('leucaena_leaf_meal', 'Leucaena leaf meal', 'Unga wa lusina'),
  named('limestone', 'Limestone', 'Chokaa ya mifugo'),
]
const found = (typed: string) => findIngredients(typed, BOOK).map(({ id }) => id)

test('ingredients are found in both languages and by the other words people use (word list of console.md)', () => {
  expect(found('maize')).toEqual(['maize_white'])
  expect(found('meupe mahindi')).toEqual(['maize_white'])
  expect(found('Mukene')).toEqual(['omena_dagaa_meal'])
  expect(found('wimbi')).toEqual(['millet_finger'])
  expect(found('simsim')).toEqual(['sesame_cake_expeller'])
  expect(found('alfalfa')).toEqual(['lucerne_meal_17'])
  expect(found('chokaa')).toEqual(['limestone'])
})

test('lusini and lusina, which differ by one letter, are never taken for each other', () => {
  expect(found('lusini')).toEqual(['lucerne_meal_17'])
  expect(found('lusina')).toEqual(['leucaena_leaf_meal'])
})

test('nothing typed shows all, and a word that nobody uses shows none', () => {
  expect(found('')).toHaveLength(BOOK.length)
  expect(found('granite')).toEqual([])
})
