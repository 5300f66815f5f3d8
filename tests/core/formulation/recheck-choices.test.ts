import { describe, expect, test } from 'vitest'
import type { FormulaProblem } from '#core/formulation/problem'
import { recheckMulti } from '#core/formulation/multi'
import { recheck } from '#core/formulation/recheck'

const problem = (soya: object): FormulaProblem => ({
  ingredients: [
    { id: 'maize', cost: 1 },
    { id: 'soya', cost: 2, ...soya },
  ],
  logic: [{ id: 'both', type: 'implies', if: 'maize', then: 'soya' }],
})

describe('a trace of an ingredient', () => {
  // a solver that took a switch for on at a millionth gave such answers: none for the least use, a use for the rule, and a cost far too low
  test('with a least use is no use, neither for that nor for a rule', () => {
    expect(recheck(problem({ minIfUsed: 30 }), [100, 1e-5])).toEqual([{ id: 'logic:both', by: 1 }])
    expect(recheck(problem({ minIfUsed: 30 }), [100, 30])).toEqual([])
  })

  test('without one is a use, unless it is rounding', () => {
    expect(recheck(problem({}), [100, 1e-5])).toEqual([])
    expect(recheck(problem({}), [100, 1e-8])).toEqual([{ id: 'logic:both', by: 1 }])
  })

  test('of a least use is none for a rule over products either', () => {
    const products = (soya: object) => ({
      ingredients: [
        { id: 'maize', cost: 1 },
        { id: 'soya', cost: 2, ...soya },
      ],
      products: [{ id: 'chick' }, { id: 'hen' }],
      logic: [{ id: 'both', type: 'implies' as const, if: 'maize@chick', then: 'soya@hen' }],
    })
    expect(recheckMulti(products({ minIfUsed: 30 }), [100, 0, 0, 1e-5])).toEqual([{ id: 'logic:both', by: 1 }])
    expect(recheckMulti(products({ minIfUsed: 30 }), [100, 0, 0, 30])).toEqual([])
    // its own product names a use below the least, once
    expect(recheckMulti(products({ minIfUsed: 30 }), [100, 0, 0, 20])).toEqual([{ id: 'minIfUsed:soya@hen', by: 10 }])
    expect(recheckMulti(products({}), [100, 0, 0, 1e-5])).toEqual([])
  })
})
