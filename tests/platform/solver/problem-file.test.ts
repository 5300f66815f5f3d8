import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { readProblemFile } from '#platform/solver/problem-file'
import { casePath, referenceCases } from '../../core/formulation/reference-cases.js'

const good = {
  ingredients: [
    { id: 'maize', cost: 30, nutrients: { cp: 8 } },
    { id: 'soya', cost: 60, nutrients: { cp: 44 } },
  ],
}
const cp = { id: 'cp', min: 18, basis: 'concentration' }
const read = (problem: unknown, kind: unknown = 'formula') => readProblemFile(JSON.stringify({ kind, problem }))

describe('a problem file', () => {
  test('of every reference case is read, or its kind or feature named as not yet supported', () => {
    const found = referenceCases.map((one) => readProblemFile(readFileSync(casePath(one.id), 'utf8')).kind)
    expect(found.filter((kind) => kind === 'problem').length).toBe(21)
    expect(found.filter((kind) => kind === 'unsupported').length).toBe(referenceCases.length - 21)
  })

  test('without a kind is a formula', () => {
    expect(readProblemFile(JSON.stringify({ problem: good })).kind).toBe('problem')
  })

  test.each([
    [{ ...good, ingredients: [...good.ingredients, { id: 'bran', cost: 'x' }] }, 'problem.ingredients[2].cost: must be a number'],
    [{ ...good, ingredients: [] }, 'problem.ingredients: must name at least one ingredient'],
    [{}, 'problem.ingredients: must be a list'],
    [[], 'problem: must be an object'],
    [{ ...good, batch: { size: 0, relation: '=' } }, 'problem.batch.size: must be above zero'],
    [{ ...good, batch: { size: 100, relation: '<' } }, "problem.batch.relation: must be '=', '>=' or '<='"],
    [{ ...good, nutrients: [{ id: 'cp', min: 18 }] }, "problem.nutrients[0].basis: must be 'total' or 'concentration'"],
    [{ ...good, nutrients: [{ ...cp, mim: 18 }] }, 'problem.nutrients[0].mim: is not a member of this form'],
    [{ ...good, nutrients: [cp, cp] }, "problem.nutrients[1].id: 'cp' stands twice"],
    [{ ...good, nutrients: [{ ...cp, id: 'ca' }] }, 'problem.ingredients[0].nutrients.ca: must be given, 0 where the ingredient has none'],
    [{ ...good, linear: [{ id: 'r', coefs: { rye: 1 }, min: 1 }] }, 'problem.linear[0].coefs.rye: is not an ingredient'],
    [{ ingredients: [{ id: 'maize', cost: 1, min: -1 }] }, 'problem.ingredients[0].min: must not be negative'],
    [{ ingredients: [{ id: 'maize', cost: 1, nutrients: { cp: null } }] }, 'problem.ingredients[0].nutrients.cp: must be a number'],
  ])('%j is malformed and the member at fault is named', (problem, message) => {
    expect(read(problem)).toEqual({ kind: 'malformed', message })
  })

  test('that is no JSON, no object or names a strange kind is told apart', () => {
    expect(readProblemFile('{').kind).toBe('malformed')
    expect(readProblemFile('[1]')).toEqual({ kind: 'malformed', message: 'the file must hold one object' })
    expect(read(good, 7)).toEqual({ kind: 'malformed', message: 'kind: must be a text' })
    expect(read(good, 'multi')).toEqual({ kind: 'unsupported', what: "kind 'multi'" })
    expect(read({ ...good, logic: [{ type: 'atMost', k: 1, items: ['maize'] }] })).toEqual({ kind: 'unsupported', what: 'problem.logic' })
  })

  test('a number too large for JavaScript is refused, not read as infinity', () => {
    expect(readProblemFile('{"problem":{"ingredients":[{"id":"a","cost":1e999}]}}')).toEqual({
      kind: 'malformed',
      message: 'problem.ingredients[0].cost: must be a number',
    })
  })
})
