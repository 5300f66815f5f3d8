import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makePostman, type EntryStore, type Outcome, type Postman } from '../../../admin/outbox/postman'
import { nextOf, type Entry, type NewEntry, type Reply } from '../../../admin/outbox/rules'

const START = Date.parse('2026-11-28T06:00:00.000Z')
const PATIENCE_MS = 20_000

/** What lies on the phone outlives its pages. */
const makePhone = () => {
  const entries = new Map<number, Entry>()
  let last = 0
  let full = false
  const room = (): void => {
    if (full) throw new DOMException('no room', 'QuotaExceededError')
  }
  const store: EntryStore = {
    all: async () => [...entries.values()],
    add: async (entry, replaces) => {
      room()
      const own = [...entries.values()].filter(({ userId }) => userId === entry.userId)
      const replaced = own.find(({ key, state }) => key === replaces && state === 'refused')
      if (replaced) entries.delete(replaced.seq)
      if (own.some(({ key }) => key === entry.key)) return
      last += 1
      entries.set(last, { ...entry, seq: last })
    },
    put: async (entry) => {
      room()
      entries.set(entry.seq, entry)
    },
    drop: async (seqs) => seqs.forEach((seq) => entries.delete(seq)),
  }
  return {
    store,
    all: () => [...entries.values()],
    fill: (isFull: boolean) => {
      full = isFull
    },
  }
}

/** The mill as the server keeps it: one effect a key and person, the first answer again for every repeat. */
const makeMill = () => {
  const answers = new Map<string, Reply>()
  const applied: { userId: string; key: string }[] = []
  let session: string | undefined
  const take = ({ userId, key, body }: Entry): Reply => {
    if (session === undefined) return { status: 401, code: 'not-signed-in', fields: [], requestId: null, body: null }
    // the token of a page is good for the session it was given in
    if (session !== userId) return { status: 403, code: 'csrf-refused', fields: [], requestId: null, body: null }
    const kept = answers.get(`${userId} ${key}`)
    if (kept) return kept
    if (body === 'bad') return { status: 422, code: 'bad-input', fields: [], requestId: null, body: null }
    applied.push({ userId, key })
    const answer: Reply = { status: 201, answer: { id: key, number: applied.length } }
    answers.set(`${userId} ${key}`, answer)
    return answer
  }
  return {
    take,
    applied,
    signIn: (userId: string | undefined) => {
      session = userId
    },
    session: () => session,
  }
}

type Fate = 'fine' | 'not-sent' | 'answer-lost' | 'crash-before' | 'crash-after' | 'busy' | 'fills-up'

/** One page after another on one phone, with a clock, timers and a network of their own. */
const makeWorld = () => {
  const phone = makePhone()
  const mill = makeMill()
  let now = START
  let online = true
  let page = 0
  let person: string | undefined
  let fates: Fate[] = []
  let timers: { at: number; run: () => void; page: number }[] = []
  let signedOut = 0
  const outcomes = new Map<string, Outcome>()
  let postman: Postman
  const never = new Promise<never>(() => undefined)

  const open = (): void => {
    page += 1
    const own = page
    timers = []
    const send = async (entry: Entry): Promise<Reply> => {
      const fate = online ? (fates.shift() ?? 'fine') : 'not-sent'
      if (fate === 'crash-before') return dies()
      if (fate === 'not-sent') return { status: 0, code: 'no-network' }
      if (fate === 'busy') return { status: 503, code: 'busy', fields: [], requestId: null, body: null }
      const reply = mill.take(entry)
      if (fate === 'fills-up') phone.fill(true)
      if (fate === 'crash-after') return dies()
      return fate === 'answer-lost' ? { status: 0, code: 'no-answer' } : reply
    }
    // the page is gone: nothing of it runs any more, and the lock it held is free
    const dies = (): Promise<never> => {
      open()
      return never
    }
    postman = makePostman({
      store: phone.store,
      send,
      isOnline: () => online,
      userId: () => person,
      renew: async () => {
        person = mill.session()
        return person
      },
      alone: (run) => run(),
      now: () => new Date(now).toISOString(),
      later: (run, ms) => void timers.push({ at: now + ms, run, page: own }),
      onChange: () => undefined,
      onSignedOut: () => {
        signedOut += 1
      },
      onReach: () => undefined,
    })
  }
  open()

  // everything that hangs on promises alone runs to its end
  const settle = async (): Promise<void> => {
    for (let turn = 0; turn < 5; turn += 1) await new Promise((resolve) => setImmediate(resolve))
  }
  const tick = async (ms: number): Promise<void> => {
    const end = now + ms
    for (;;) {
      const due = timers.filter(({ at, page: own }) => at <= end && own === page).toSorted((a, b) => a.at - b.at)[0]
      if (!due) break
      timers = timers.filter((timer) => timer !== due)
      now = Math.max(now, due.at)
      due.run()
      await settle()
    }
    now = end
  }
  return {
    phone,
    mill,
    settle,
    tick,
    open,
    postman: () => postman,
    signedOut: () => signedOut,
    person: () => person,
    fate: (next: readonly Fate[]) => {
      fates = [...next]
    },
    network: (up: boolean) => {
      online = up
    },
    signIn: (userId: string | undefined) => {
      mill.signIn(userId)
      person = userId
    },
    told: (key: string) => outcomes.get(key),
    /** The mill ends the session; the page does not know yet. */
    expire: () => mill.signIn(undefined),
    enter: async (key: string, body: unknown = 'good', replaces?: string): Promise<Outcome | undefined> => {
      if (person === undefined) return undefined
      const draft: NewEntry = { key, kind: 'receive', path: '/lots', body, facts: {}, page: '/lots/create', draft: body, replaces }
      void postman.enter(draft, person, PATIENCE_MS).then((told) => outcomes.set(key, told))
      await settle()
      return outcomes.get(key)
    },
  }
}

const stateOf = ({ phone }: ReturnType<typeof makeWorld>, key: string): string | undefined =>
  phone.all().find((entry) => entry.key === key)?.state

describe('the postman', () => {
  test('gives an open form the answer at once, and keeps what the mill made of it', async () => {
    const world = makeWorld()
    world.signIn('juma')
    expect(await world.enter('a')).toEqual({ kind: 'answered', answer: { id: 'a', number: 1 } })
    expect(world.phone.all()).toMatchObject([{ state: 'sent', result: { id: 'a', number: 1 } }])
  })

  test('gives an open form its refusal, and keeps nothing of it', async () => {
    const world = makeWorld()
    world.signIn('juma')
    expect(await world.enter('a', 'bad')).toMatchObject({ kind: 'refused', refusal: { code: 'bad-input', status: 422 } })
    expect(world.phone.all()).toEqual([])
  })

  test('keeps what is entered without a network, and sends it by itself, in order', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.network(false)
    expect(await world.enter('a')).toEqual({ kind: 'kept' })
    expect(await world.enter('b')).toEqual({ kind: 'kept' })
    expect([stateOf(world, 'a'), stateOf(world, 'b')]).toEqual(['on-this-phone', 'on-this-phone'])
    world.network(true)
    await world.postman().hurry()
    expect(world.mill.applied.map(({ key }) => key)).toEqual(['a', 'b'])
  })

  test('keeps a refused entry, goes on with the rest, and lets the corrected one take its place', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.network(false)
    await world.enter('a', 'bad')
    await world.enter('b')
    world.network(true)
    await world.postman().hurry()
    expect([stateOf(world, 'a'), stateOf(world, 'b')]).toEqual(['refused', 'sent'])
    await world.enter('c', 'good', 'a')
    expect([stateOf(world, 'a'), stateOf(world, 'c')]).toEqual([undefined, 'sent'])
    expect(world.mill.applied.map(({ key }) => key)).toEqual(['b', 'c'])
  })

  test('keeps a correction that is refused too in the place of what it puts right, until one is taken', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.network(false)
    await world.enter('a', 'bad')
    world.network(true)
    await world.postman().hurry()
    expect(await world.enter('b', 'bad', 'a')).toMatchObject({ kind: 'refused' })
    expect(world.phone.all()).toMatchObject([{ key: 'a', state: 'refused' }])
    await world.enter('c', 'good', 'a')
    expect(world.phone.all()).toMatchObject([{ key: 'c', state: 'sent' }])
    expect(world.mill.applied.map(({ key }) => key)).toEqual(['c'])
  })

  test("sends the same key after an answer that never came, and shows the mill's first answer", async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.fate(['answer-lost', 'answer-lost'])
    const told = await world.enter('a')
    expect([told, stateOf(world, 'a')]).toEqual([undefined, 'on-this-phone'])
    await world.tick(PATIENCE_MS)
    expect(world.mill.applied).toHaveLength(1)
    expect(world.phone.all()).toMatchObject([{ state: 'sent', tries: 3, result: { id: 'a', number: 1 } }])
    expect(world.told('a')).toEqual({ kind: 'answered', answer: { id: 'a', number: 1 } })
  })

  test('lets a form go that the mill does not answer for long', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.fate(Array.from({ length: 9 }, () => 'busy' as const))
    await world.enter('a')
    await world.tick(PATIENCE_MS - 1)
    expect(world.told('a')).toBeUndefined()
    await world.tick(1)
    expect([world.told('a'), stateOf(world, 'a')]).toEqual([{ kind: 'kept' }, 'on-this-phone'])
  })

  test('keeps entries when the session has ended, asks to sign in, and sends them to the same person only', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.expire()
    expect(await world.enter('a')).toEqual({ kind: 'kept' })
    expect([world.signedOut(), world.person(), stateOf(world, 'a')]).toEqual([1, undefined, 'on-this-phone'])
    world.signIn('amina')
    await world.postman().flush()
    expect([world.mill.applied.length, stateOf(world, 'a')]).toEqual([0, 'on-this-phone'])
    world.signIn('juma')
    await world.postman().flush()
    expect(world.mill.applied).toEqual([{ userId: 'juma', key: 'a' }])
  })

  test('sends nothing under the name of somebody who signed in on another page', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.mill.signIn('amina')
    await world.enter('a')
    expect([world.mill.applied.length, stateOf(world, 'a'), world.signedOut()]).toEqual([0, 'on-this-phone', 0])
  })

  test('lets the form go after a while, and shows a refusal that comes later in the outbox', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.fate(['crash-before'])
    expect(await world.enter('a', 'bad')).toBeUndefined()
    expect(stateOf(world, 'a')).toBe('sending')
    await world.postman().flush()
    expect(stateOf(world, 'a')).toBe('refused')
  })

  test('tries nothing while there is no network, so that nothing is in doubt after days without one', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.network(false)
    await world.enter('a')
    await world.tick(72 * 3_600_000)
    expect(world.phone.all()).toMatchObject([{ state: 'on-this-phone', tries: 0, firstTriedAt: null }])
    world.network(true)
    await world.postman().hurry()
    expect(world.mill.applied).toHaveLength(1)
  })

  test('asks a person about an entry whose answer was lost a day ago', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.fate(['answer-lost'])
    await world.enter('a')
    world.network(false)
    await world.tick(21 * 3_600_000)
    world.network(true)
    await world.postman().hurry()
    expect(world.phone.all()).toMatchObject([{ state: 'refused', refusal: { code: 'sent-long-ago' } }])
    expect(world.mill.applied).toHaveLength(1)
    await world.postman().sendAgain('a', 'juma')
    expect([stateOf(world, 'a'), world.mill.applied.length]).toEqual(['sent', 1])
  })

  test('asks a person too when the page went in the middle of sending, and nobody came for a day', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.fate(['crash-after'])
    await world.enter('a')
    await world.tick(21 * 3_600_000)
    await world.postman().flush()
    expect(world.phone.all()).toMatchObject([{ state: 'refused', refusal: { code: 'sent-long-ago' } }])
    expect(world.mill.applied).toHaveLength(1)
  })

  test('throws away what was never sent, with its reason, and nothing of somebody else', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.fate(['not-sent'])
    await world.enter('a')
    world.network(false)
    await world.enter('b')
    // `a` was tried, and may have arrived; `b` waits behind it
    expect(await world.postman().throwAway('a', 'juma', 'no')).toBe(false)
    expect(await world.postman().throwAway('b', 'amina', 'no')).toBe(false)
    expect(await world.postman().throwAway('b', 'juma', 'typed twice')).toBe(true)
    expect(world.phone.all()).toMatchObject([
      { key: 'a', state: 'on-this-phone' },
      { key: 'b', state: 'thrown-away', reason: 'typed twice' },
    ])
  })

  test('says so where the phone has no room for an entry, and has sent nothing', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.phone.fill(true)
    expect(await world.enter('a')).toEqual({ kind: 'not-kept' })
    expect([world.phone.all(), world.mill.applied]).toEqual([[], []])
  })

  test('sends nothing that it cannot write down as sent, and goes on by itself once there is room', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.network(false)
    await world.enter('a')
    world.network(true)
    world.phone.fill(true)
    await world.postman().flush()
    expect([stateOf(world, 'a'), world.mill.applied.length]).toEqual(['on-this-phone', 0])
    world.phone.fill(false)
    await world.tick(61_000)
    expect([stateOf(world, 'a'), world.mill.applied.length]).toEqual(['sent', 1])
  })

  test('gives an open form its answer even when there is no room to keep it, and later makes no second lot', async () => {
    const world = makeWorld()
    world.signIn('juma')
    world.fate(['fills-up'])
    expect(await world.enter('a')).toMatchObject({ kind: 'answered' })
    expect(stateOf(world, 'a')).toBe('sending')
    world.phone.fill(false)
    await world.tick(61_000)
    expect([stateOf(world, 'a'), world.mill.applied.length]).toEqual(['sent', 1])
  })

  test('asks nothing of a browser that keeps nothing but once in a while', async () => {
    const refuses = (): Promise<never> => Promise.reject(new DOMException('a private window', 'InvalidStateError'))
    const postman = makePostman({
      store: { all: refuses, add: refuses, put: refuses, drop: refuses },
      send: refuses,
      isOnline: () => true,
      userId: () => 'juma',
      renew: async () => 'juma',
      alone: (run) => run(),
      now: () => new Date(START).toISOString(),
      later: () => undefined,
      onChange: () => undefined,
      onSignedOut: () => undefined,
      onReach: () => undefined,
    })
    await expect(Promise.all([postman.flush(), postman.hurry(), postman.tidy()])).resolves.toHaveLength(3)
  })

  type Step =
    | { readonly do: 'enter'; readonly body: 'good' | 'bad' }
    | { readonly do: 'network'; readonly up: boolean }
    | { readonly do: 'fates'; readonly fates: readonly Fate[] }
    | { readonly do: 'person'; readonly userId: string | undefined }
    | { readonly do: 'expire' | 'reload' | 'hurry' }
    | { readonly do: 'wait'; readonly ms: number }

  const person = fc.constantFrom('juma', 'amina')
  const step: fc.Arbitrary<Step> = fc.oneof(
    {
      weight: 4,
      arbitrary: fc.record({ do: fc.constant('enter' as const), body: fc.constantFrom('good' as const, 'good' as const, 'bad' as const) }),
    },
    { weight: 2, arbitrary: fc.record({ do: fc.constant('network' as const), up: fc.boolean() }) },
    {
      weight: 3,
      arbitrary: fc.record({
        do: fc.constant('fates' as const),
        fates: fc.array(fc.constantFrom<Fate>('fine', 'not-sent', 'answer-lost', 'crash-before', 'crash-after', 'busy'), { maxLength: 6 }),
      }),
    },
    { weight: 2, arbitrary: fc.record({ do: fc.constant('person' as const), userId: fc.option(person, { nil: undefined }) }) },
    { weight: 2, arbitrary: fc.record({ do: fc.constantFrom('expire' as const, 'reload' as const, 'hurry' as const) }) },
    { weight: 2, arbitrary: fc.record({ do: fc.constant('wait' as const), ms: fc.integer({ min: 0, max: 120_000 }) }) },
  )

  const take = async (world: ReturnType<typeof makeWorld>, asked: Step, key: string): Promise<void> => {
    switch (asked.do) {
      case 'enter':
        await world.enter(key, asked.body)
        return
      case 'network':
        world.network(asked.up)
        return
      case 'fates':
        world.fate(asked.fates)
        return
      case 'person':
        world.signIn(asked.userId)
        void world.postman().flush()
        return
      case 'expire':
        world.expire()
        return
      case 'reload':
        world.open()
        void world.postman().flush()
        return
      case 'hurry':
        void world.postman().hurry()
        return
      case 'wait':
        await world.tick(asked.ms)
    }
  }

  test('applies every good entry exactly once and in order by person, whatever happens on the way', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 1, maxLength: 25 }), async (steps) => {
        const world = makeWorld()
        world.signIn('juma')
        const made: { userId: string; key: string; body: string }[] = []
        for (const [at, asked] of steps.entries()) {
          const userId = world.person()
          if (asked.do === 'enter' && userId !== undefined) made.push({ userId, key: `k${at}`, body: asked.body })
          await take(world, asked, `k${at}`)
          await world.settle()
        }
        // in the end the network is back, and each person comes once more
        world.network(true)
        world.fate([])
        for (const userId of ['juma', 'amina']) {
          world.signIn(userId)
          void world.postman().flush()
          await world.settle()
          await world.tick(130_000)
          expect(nextOf(world.phone.all(), userId)).toBeUndefined()
        }
        for (const userId of ['juma', 'amina']) {
          const good = made.filter((entry) => entry.userId === userId && entry.body === 'good').map(({ key }) => key)
          expect(world.mill.applied.filter((entry) => entry.userId === userId).map(({ key }) => key)).toEqual(good)
        }
        for (const { state, body } of world.phone.all()) expect(state).toBe(body === 'bad' ? 'refused' : 'sent')
      }),
      { numRuns: 300 },
    )
  })
})
