import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { PROBLEMS } from '#platform/http/problems'
import type { ProblemName } from '../../../admin/providers/http'
import {
  again,
  begun,
  countsOf,
  entered,
  isOver,
  isUnsure,
  judge,
  listed,
  mayCorrect,
  maySendAgain,
  mayThrowAway,
  nextOf,
  settled,
  SURE_HOURS,
  thrownAway,
  unsure,
  waitMs,
  type Entry,
  type NewEntry,
  type Reply,
} from '../../../admin/outbox/rules'

const NOW = '2026-11-28T10:00:00.000Z'
const plus = (hours: number): string => new Date(Date.parse(NOW) + hours * 3_600_000).toISOString()
const draft: NewEntry = {
  key: 'k1',
  kind: 'receive',
  path: '/lots',
  body: { netKg: '900' },
  facts: { kg: '900 kg' },
  page: '/lots/create',
  draft: { netKg: '900' },
}
const entry = (changes: Partial<Entry> = {}): Entry => ({ ...entered(draft, 'juma', NOW), seq: 1, ...changes })
const refusal = (code: ProblemName, status: number): Reply => ({ status, code, fields: [], requestId: 'r1', body: { code } })
const lost: Reply = { status: 0, code: 'no-answer' }
const refusedWith = (code: ProblemName, status: number): Entry => settled(begun(entry(), NOW), refusal(code, status), NOW)

describe('what an answer means', () => {
  test('an answer is sent; none at all, and a mill that did not look, is tried again for ever', () => {
    expect(judge({ status: 201, answer: {} }, 1)).toBe('sent')
    for (const reply of [
      lost,
      { status: 0, code: 'no-network' } as const,
      refusal('busy', 503),
      refusal('internal', 502),
      refusal('internal', 504),
    ])
      expect([judge(reply, 1), judge(reply, 1000)]).toEqual(['again', 'again'])
    expect(judge(refusal('idempotency-key-busy', 409), 1000)).toBe('again')
  })

  test('a lost session and the token of another session ask to sign in', () => {
    expect(judge(refusal('not-signed-in', 401), 1)).toBe('sign-in')
    expect(judge(refusal('csrf-refused', 403), 1)).toBe('sign-in')
    expect(judge(refusal('not-allowed', 403), 1)).toBe('refused')
  })

  test("a fault of the mill's own is tried for a minute, then shown, so that it stops nobody", () => {
    expect([1, 5, 6].map((tries) => judge(refusal('internal', 500), tries))).toEqual(['again', 'again', 'refused'])
    expect([1, 6].map((tries) => judge(refusal('too-many-tries', 429), tries))).toEqual(['again', 'refused'])
  })

  test('every other problem that the mill knows is a refusal', () => {
    const others = new Set([
      'not-signed-in',
      'wrong-login',
      'csrf-refused',
      'idempotency-key-busy',
      'too-many-tries',
      'busy',
      'solver-timeout',
      'internal',
    ])
    for (const [code, { status }] of Object.entries(PROBLEMS))
      if (!others.has(code)) expect(judge(refusal(code as ProblemName, status), 1), code).toBe('refused')
  })
})

describe('an entry', () => {
  test('is written down as sending before it goes out, and remembers its first try', () => {
    const first = begun(entry(), NOW)
    expect(first).toMatchObject({ state: 'sending', tries: 1, firstTriedAt: NOW, key: 'k1' })
    expect(begun(first, plus(1))).toMatchObject({ tries: 2, firstTriedAt: NOW, key: 'k1' })
  })

  test('that is sent keeps what the mill made of it, and nothing else of what was typed', () => {
    const sent = settled(begun(entry(), NOW), { status: 201, answer: { id: 'l1', number: 47, price: '41' } }, plus(0.1))
    expect(sent).toMatchObject({ state: 'sent', settledAt: plus(0.1), result: { id: 'l1', number: 47 }, body: null, draft: null })
  })

  test('waits twice as long after each try, at most a minute', () => {
    const pauses = [1, 2, 3, 6, 20].map((tries) => waitMs(settled(entry({ tries, state: 'sending' }), lost, NOW), NOW))
    expect(pauses).toEqual([2_000, 4_000, 8_000, 60_000, 60_000])
    expect(settled(begun(entry(), NOW), lost, NOW)).toMatchObject({ state: 'on-this-phone', body: { netKg: '900' } })
    expect(waitMs(settled(begun(entry(), NOW), refusal('not-signed-in', 401), NOW), NOW)).toBe(0)
  })

  test('whose answer was lost is not repeated after the mill may have forgotten it: a person looks first', () => {
    const tried = settled(begun(entry(), NOW), lost, NOW)
    expect([isUnsure(entry(), plus(100)), isUnsure(tried, plus(19.9)), isUnsure(tried, plus(20))]).toEqual([false, false, true])
    const asked = unsure(tried, plus(20))
    expect(asked).toMatchObject({ state: 'refused', refusal: { code: 'sent-long-ago' } })
    expect([mayCorrect(asked), maySendAgain(asked), mayThrowAway(asked)]).toEqual([false, true, true])
    expect(again(asked)).toMatchObject({ state: 'on-this-phone', key: 'k1', firstTriedAt: null, tries: 0, refusal: null })
  })

  test('whose try lies in the future by a clock that was set back: nobody knows how long ago it was, so a person looks first', () => {
    const tried = settled(begun(entry(), NOW), lost, NOW)
    // some seconds are what a clock that follows the network moves by
    expect([isUnsure(tried, plus(-1)), isUnsure(tried, plus(-0.01))]).toEqual([true, false])
  })

  test('waits no longer than its pause when the clock is set back meanwhile', () => {
    const tried = settled(begun(entry(), NOW), lost, NOW)
    expect(waitMs(tried, plus(-0.1))).toBe(60_000)
  })

  test('is sure for shorter than the mill keeps its answers', () => {
    const kept = /KEPT_HOURS = (\d+)\n/.exec(readFileSync('server/platform/idempotency.ts', 'utf8'))?.[1]
    expect(Number(kept)).toBeGreaterThanOrEqual(SURE_HOURS + 4)
  })

  test('can be put right when the mill does not have it, else only the same goes out again', () => {
    expect(mayCorrect(refusedWith('wrong-code', 422))).toBe(true)
    expect(mayCorrect(refusedWith('stale-revision', 412))).toBe(true)
    // whose role was taken away can change nothing that was typed, but send it once it is given back
    const lostRole = refusedWith('not-allowed', 403)
    expect([mayCorrect(lostRole), maySendAgain(lostRole), mayThrowAway(lostRole)]).toEqual([false, true, true])
    const reused = refusedWith('idempotency-key-reused', 422)
    expect([mayCorrect(reused), maySendAgain(reused), mayThrowAway(reused)]).toEqual([false, false, true])
    const fault = settled(entry({ state: 'sending', tries: 6 }), refusal('internal', 500), NOW)
    expect([mayCorrect(fault), maySendAgain(fault)]).toEqual([false, true])
    for (const open of [entry(), begun(entry(), NOW), entry({ state: 'sent' })]) expect(mayCorrect(open)).toBe(false)
  })

  test('can be thrown away before it was ever sent or once it is refused, not in between', () => {
    expect([entry(), begun(entry(), NOW), entry({ tries: 1 }), entry({ state: 'sent' })].map(mayThrowAway)).toEqual([
      true,
      false,
      false,
      false,
    ])
    expect(thrownAway(entry(), 'typed twice', NOW)).toMatchObject({ state: 'thrown-away', reason: 'typed twice', settledAt: NOW })
  })

  test('is shown for a day after it was sent, a month after it was thrown away, and for ever while it waits', () => {
    const sent = entry({ state: 'sent', settledAt: NOW })
    const away = entry({ state: 'thrown-away', settledAt: NOW })
    expect([isOver(sent, plus(23)), isOver(sent, plus(24))]).toEqual([false, true])
    expect([isOver(away, plus(24 * 29)), isOver(away, plus(24 * 30))]).toEqual([false, true])
    for (const open of [entry(), entry({ state: 'refused', settledAt: NOW }), begun(entry(), NOW)])
      expect(isOver(open, plus(10_000))).toBe(false)
  })
})

describe('entries of several people on one phone', () => {
  const all = [
    entry({ seq: 4, key: 'd', state: 'sent', settledAt: NOW }),
    entry({ seq: 1, key: 'a', userId: 'amina' }),
    entry({ seq: 5, key: 'e' }),
    entry({ seq: 2, key: 'b', state: 'refused' }),
    entry({ seq: 3, key: 'c', state: 'sending', tries: 1 }),
    entry({ seq: 6, key: 'f', userId: 'amina', state: 'refused' }),
    entry({ seq: 7, key: 'g', userId: 'amina', state: 'sent' }),
  ]

  test('go out by person, the oldest first; a refused one stops none, and one cut off in sending goes again', () => {
    expect(nextOf(all, 'juma')?.key).toBe('c')
    expect(nextOf(all, 'amina')?.key).toBe('a')
    expect(nextOf(all, 'wanja')).toBeUndefined()
  })

  test('are told to others by number only', () => {
    expect(countsOf(all, 'juma')).toEqual({ waiting: 2, refused: 1, others: 2 })
    expect(countsOf(all, 'amina')).toEqual({ waiting: 1, refused: 1, others: 3 })
    expect(countsOf(all, undefined)).toEqual({ waiting: 0, refused: 0, others: 5 })
  })

  test('are listed to their own person: what needs a look, then the order of sending, then what is done', () => {
    expect(listed(all, 'juma').map(({ key }) => key)).toEqual(['b', 'c', 'e', 'd'])
    expect(listed(all, 'amina').map(({ key }) => key)).toEqual(['f', 'a', 'g'])
  })
})

describe('the worker that opens pages without a network', () => {
  test('leaves alone what the server does not take for a page', () => {
    const noPage = /\/\^\\\/\(([a-z|]+)\)/
    const [worker, server] = ['admin/outbox/worker.ts', 'server/platform/http/console-files.ts'].map(
      (path) => noPage.exec(readFileSync(path, 'utf8'))?.[1],
    )
    expect(server).toBe('api|health|metrics|assets')
    expect(worker).toBe(server)
  })
})
