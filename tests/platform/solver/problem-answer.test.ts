import { describe, expect, test } from 'vitest'
import type { FailureReason } from '#core/formulation/formulation'
import { tellingOf } from '#platform/solver/problem-answer'

describe('what the command says', () => {
  test.each<[FailureReason, RegExp]>([
    ['solver-error', /^neither solver could work the problem through/],
    ['recheck', /^no solver gave an answer that holds when checked/],
    ['time-limit', /^no answer was found in the time allowed$/],
  ])('of a failure (%s) is one answer in plain words, never those of a solver, and ends with 3', (reason, detail) => {
    const told = tellingOf({ status: 'failed', reason, detail: 'Aborted(RuntimeError: table index is out of bounds)' })
    expect(told).toMatchObject({
      kind: 'answer',
      code: 3,
      answer: { status: 'failed', objective: null, amounts: null, conflict: null, reason },
    })
    expect(told.kind === 'answer' && 'detail' in told.answer && told.answer.detail).toMatch(detail)
  })

  test('of what is not supported is a message, and ends with 3', () => {
    const told = tellingOf({ status: 'failed', reason: 'unsupported', detail: 'no upper bound for maize' })
    expect(told).toEqual({ kind: 'message', code: 3, message: 'unsupported: no upper bound for maize' })
  })

  test('of a conflict or a fall without end is an answer, and ends with 0', () => {
    expect(tellingOf({ status: 'infeasible', conflict: ['batch'] })).toMatchObject({
      code: 0,
      answer: { status: 'infeasible', conflict: ['batch'] },
    })
    expect(tellingOf({ status: 'unbounded' })).toMatchObject({ code: 0, answer: { status: 'unbounded', conflict: null } })
  })
})
