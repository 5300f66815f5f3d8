import {
  again,
  begun,
  entered,
  hurried,
  inItsPlace,
  isOver,
  isUnsure,
  judge,
  maySendAgain,
  mayThrowAway,
  nextOf,
  settled,
  thrownAway,
  unsure,
  waitMs,
  type Entry,
  type NewEntry,
  type Refusal,
  type Reply,
} from './rules'

/** Where entries lie. Each call is one transaction. */
export type EntryStore = {
  readonly all: () => Promise<readonly Entry[]>
  /** Adds it unless an entry of that key and person is there already; takes the replaced one away in the same step. */
  readonly add: (entry: Omit<Entry, 'seq'>, replaces: string | undefined) => Promise<void>
  readonly put: (entry: Entry) => Promise<void>
  readonly drop: (seqs: readonly number[]) => Promise<void>
}

export type Surroundings = {
  readonly store: EntryStore
  readonly send: (entry: Entry) => Promise<Reply>
  /** False only when the device is sure to have no network: then nothing is tried, and so nothing can have been lost on the way. */
  readonly isOnline: () => boolean
  /** Who is signed in here, as far as this page knows. */
  readonly userId: () => string | undefined
  /** Asks the mill again who is signed in, since it refused the session of this page; undefined: nobody. */
  readonly renew: () => Promise<string | undefined>
  /** Runs it while no other page of this browser sends. */
  readonly alone: (run: () => Promise<void>) => Promise<void>
  readonly now: () => string
  /** Calls back after so long. */
  readonly later: (run: () => void, ms: number) => void
  readonly onChange: (entries: readonly Entry[]) => void
  /** The mill knows nobody here: entries stay, a person must sign in. */
  readonly onSignedOut: () => void
  /** Whether the last try reached the mill. */
  readonly onReach: (reached: boolean) => void
}

/** What became of an entry while its form was still open. */
export type Outcome =
  | { readonly kind: 'answered'; readonly answer: unknown }
  | { readonly kind: 'refused'; readonly refusal: Refusal }
  | { readonly kind: 'kept' }
  /** The phone has no room for it, or its browser keeps nothing: it has not been sent either. */
  | { readonly kind: 'not-kept' }

/**
 * How long to wait before the next try; undefined when nothing waits, or waits for a person or the network. `soon`: the network is there, only the answer
 * was not, so a form may wait for the next try, which brings the mill's first answer.
 */
type Rest = { readonly ms: number | undefined; readonly soon: boolean }
const NOTHING: Rest = { ms: undefined, soon: false }
/** The phone could not be read or written: perhaps it can later. */
const NO_ROOM: Rest = { ms: 60_000, soon: false }
const isCut = (reply: Reply): boolean => 'code' in reply && reply.code === 'no-network'

/** A browser that keeps nothing (a private window) has nothing to send or to tidy. */
const ifKept = (work: () => Promise<void>): Promise<void> => work().catch(() => undefined)

/** Takes entries, keeps them, and sends them one after the other. */
export const makePostman = (around: Surroundings) => {
  const { store, now } = around
  // forms that are still open, by key: they show a refusal themselves
  const open = new Map<string, (outcome: Outcome) => void>()
  const tell = (key: string, outcome: Outcome): void => {
    open.get(key)?.(outcome)
    open.delete(key)
  }
  const tellAll = (outcome: Outcome): void => [...open.keys()].forEach((key) => tell(key, outcome))

  const refresh = async (): Promise<readonly Entry[]> => {
    const entries = await store.all()
    around.onChange(entries)
    return entries
  }
  const put = async (entry: Entry): Promise<void> => {
    await store.put(entry)
    await refresh()
  }

  const report = async (entry: Entry, reply: Reply): Promise<void> => {
    const after = settled(entry, reply, now())
    const { refusal } = after
    // what the mill said is told even where there is no room to write it down: then the same goes out once more
    try {
      // its form stands there with everything that was typed, and says why
      const next = refusal && open.has(entry.key) ? inItsPlace(after) : after
      await (next ? store.put(next) : store.drop([entry.seq]))
      await refresh()
    } finally {
      if (refusal) tell(entry.key, { kind: 'refused', refusal })
      else if ('answer' in reply) tell(entry.key, { kind: 'answered', answer: reply.answer })
    }
  }

  /** Sends what is due; gives what is left to do. */
  const sendAll = async (): Promise<Rest> => {
    let renewed = false
    for (;;) {
      const userId = around.userId()
      const entry = userId === undefined ? undefined : nextOf(await store.all(), userId)
      if (!entry) return NOTHING
      if (isUnsure(entry, now())) {
        await put(unsure(entry, now()))
        continue
      }
      const wait = waitMs(entry, now())
      if (!around.isOnline()) return NOTHING
      if (wait > 0) return { ms: wait, soon: false }
      const sending = begun(entry, now())
      await put(sending)
      const reply = await around.send(sending)
      around.onReach(reply.status !== 0)
      await report(sending, reply)
      const verdict = judge(reply, sending.tries)
      if (verdict === 'again') return { ms: waitMs(settled(sending, reply, now()), now()), soon: !isCut(reply) }
      if (verdict !== 'sign-in') continue
      const person = renewed ? undefined : await around.renew()
      renewed = true
      if (person === entry.userId) continue
      if (person === undefined) around.onSignedOut()
      return NOTHING
    }
  }

  let isRunning = false
  let isAsked = false
  const flush = async (): Promise<void> => {
    isAsked = true
    if (isRunning) return
    isRunning = true
    let rest = NOTHING
    try {
      while (isAsked) {
        isAsked = false
        await around.alone(async () => {
          rest = await sendAll().catch(() => NO_ROOM)
        })
        // what is not answered by now lies in the outbox, and its form can go
        if (!isAsked && !rest.soon) tellAll({ kind: 'kept' })
      }
    } finally {
      isRunning = false
    }
    if (rest.ms !== undefined) around.later(() => void flush(), rest.ms)
  }

  const change = async (key: string, userId: string, to: (entry: Entry) => Entry | undefined): Promise<boolean> => {
    let changed = false
    // alone: an entry that is on its way at this moment must not be changed under way
    await around.alone(async () => {
      const entry = (await store.all()).find((each) => each.key === key && each.userId === userId)
      const next = entry && to(entry)
      if (!next) return
      await put(next)
      changed = true
    })
    return changed
  }

  return {
    refresh,
    flush,
    /** Keeps the entry, then sends it. Its form hears within `patienceMs` what became of it, else that it is kept. */
    enter: async (draft: NewEntry, userId: string, patienceMs: number): Promise<Outcome> => {
      try {
        await store.add(entered(draft, userId, now()), draft.replaces)
      } catch {
        return { kind: 'not-kept' }
      }
      await refresh()
      return new Promise((resolve) => {
        open.set(draft.key, resolve)
        around.later(() => tell(draft.key, { kind: 'kept' }), patienceMs)
        void flush()
      })
    },
    /** The network is back, or somebody wants it now. */
    hurry: async (): Promise<void> => {
      await ifKept(async () => {
        const userId = around.userId()
        const entry = userId === undefined ? undefined : nextOf(await store.all(), userId)
        if (entry && waitMs(entry, now()) > 0) await change(entry.key, entry.userId, hurried)
      })
      await flush()
    },
    sendAgain: async (key: string, userId: string): Promise<void> => {
      if (await change(key, userId, (entry) => (maySendAgain(entry) ? again(entry) : undefined))) await flush()
    },
    throwAway: (key: string, userId: string, reason: string): Promise<boolean> =>
      change(key, userId, (entry) => (mayThrowAway(entry) ? thrownAway(entry, reason, now()) : undefined)),
    /** Takes away what has been looked at long enough. */
    tidy: (): Promise<void> =>
      ifKept(async () => {
        const over = (await store.all()).filter((entry) => isOver(entry, now()))
        if (over.length > 0) await store.drop(over.map(({ seq }) => seq))
        await refresh()
      }),
  }
}

export type Postman = ReturnType<typeof makePostman>
