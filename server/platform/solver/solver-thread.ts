import { Piscina } from 'piscina'
import type { TaskName } from './tasks.js'
import { nowWaits, takeBack, workedFor, type SolveTask, type ThreadAnswer } from './worker-clock.js'

export type Failure = { readonly kind: 'failed'; readonly reason: 'time-limit' | 'solver-error'; readonly detail: string }
/** `failed`: the thread was ended at the deadline, or the solver broke. What the solver says of the problem is a value. */
export type TaskAnswer<T> = { readonly kind: 'done'; readonly value: T } | Failure

export const failed = (reason: Failure['reason'], detail: string): Failure => ({ kind: 'failed', reason, detail })

/** One question and whoever waits for its answer. */
export type Asked = {
  readonly name: TaskName
  readonly input: unknown
  readonly deadlineMs: number
  readonly settle: (answer: TaskAnswer<unknown>) => void
  /** Its number at the thread that it was last sent to. */
  task: number | null
  /** How often the thread that it waited at came to an end that no deadline explains. */
  losses: number
}

export type SolverThread = {
  /** Nothing is there, neither under way nor waiting. */
  isIdle(): boolean
  /** One batch of such tasks is there, and nothing in it takes long yet: a second one need not wait for the way there and back. */
  canQueue(name: TaskName): boolean
  send(batch: readonly Asked[]): void
  close(): Promise<void>
}

export type ThreadOptions = {
  readonly begun: BigInt64Array
  /** The first of so many numbers that nobody else has. */
  readonly numbers: (count: number) => number
  /** Of what the thread will not answer: because it takes long over something before it, or has ended. */
  readonly giveBack: (asked: readonly Asked[]) => void
  /** A batch was answered. */
  readonly onFree: () => void
}

type Batch = {
  readonly first: number
  readonly batch: readonly Asked[]
  readonly end: AbortController
  /** Its thread was ended because a task was past its deadline. */
  late: boolean
}

const compiled = import.meta.url.endsWith('.js')
const WORKER = new URL(compiled ? './worker.js' : './worker-dev.mjs', import.meta.url).href

/** So long may one task keep those behind it, which another thread might take up. */
const PATIENCE_MS = 20
/** A task that lost its thread so often without having been begun is not tried again. */
const MOST_LOSSES = 2

const late = (deadlineMs: number): Failure => failed('time-limit', `not solved in ${deadlineMs} ms`)
/** Past its deadline an answer is refused also where it came before anybody looked: what is said must not hang on how busy the process is. */
const toldBy = (answer: NonNullable<ThreadAnswer>, deadlineMs: number): TaskAnswer<unknown> => {
  if (answer.kind === 'broke') return failed('solver-error', answer.detail)
  return answer.ms > deadlineMs ? late(deadlineMs) : { kind: 'done', value: answer.value }
}

/** One solver thread, replaced when it is ended. Past its deadline a task takes the thread with it, and nothing else: the others are given back. */
export function createSolverThread({ begun, numbers, giveBack, onFree }: ThreadOptions): SolverThread {
  const piscina = new Piscina<SolveTask, readonly ThreadAnswer[]>({
    filename: WORKER,
    minThreads: 1,
    maxThreads: 1,
    concurrentTasksPerWorker: 2,
    idleTimeout: Number.POSITIVE_INFINITY,
    workerData: { begun },
    ...(compiled ? {} : { execArgv: ['--conditions=kinu-source'] }),
  })
  const here = new Set<Batch>()
  let timer: NodeJS.Timeout | undefined
  let closed = false

  /** What the thread is at; null between two tasks and while it starts. */
  const current = () => {
    for (const batch of here)
      for (const [i, asked] of batch.batch.entries()) {
        const worked = workedFor(begun, batch.first + i)
        if (worked !== null) return { batch, asked, worked }
      }
    return null
  }
  const takeBackWaiting = () => {
    const others = [...here].flatMap(({ first, batch }) => batch.filter((_, i) => takeBack(begun, first + i)))
    for (const asked of others) asked.task = null
    if (others.length > 0) giveBack(others)
  }
  const shortestDeadline = () => Math.min(...[...here].flatMap(({ batch }) => batch.map(({ deadlineMs }) => deadlineMs)))
  const lookIn = (ms: number) => {
    timer = setTimeout(look, Math.ceil(Math.min(ms, PATIENCE_MS)))
  }
  function look() {
    timer = undefined
    const at = current()
    const left = at ? at.asked.deadlineMs - at.worked : shortestDeadline()
    if (at && left <= 0) {
      for (const batch of here) batch.late = true
      at.batch.end.abort()
      return
    }
    if (at && at.worked >= PATIENCE_MS) takeBackWaiting()
    lookIn(left)
  }
  const lost = ({ first, batch, late: isLate }: Batch, error: unknown) => {
    const detail = error instanceof Error ? error.message : String(error)
    const again: Asked[] = []
    for (const [i, asked] of batch.entries()) {
      if (workedFor(begun, first + i) !== null) asked.settle(isLate ? late(asked.deadlineMs) : failed('solver-error', detail))
      else if (asked.task === first + i) {
        if (!isLate) asked.losses += 1
        asked.task = null
        if (closed || asked.losses > MOST_LOSSES) asked.settle(failed('solver-error', detail))
        else again.push(asked)
      }
    }
    if (again.length > 0) giveBack(again)
  }
  const answered = async (one: Batch) => {
    const inputs = one.batch.map(({ input }) => input)
    try {
      const [{ name }] = one.batch as [Asked]
      const answers = await piscina.run({ name, inputs, first: one.first }, { signal: one.end.signal })
      for (const [i, answer] of answers.entries())
        // null: taken back, and answered by whoever took it
        if (answer) one.batch[i]?.settle(toldBy(answer, one.batch[i].deadlineMs))
    } catch (error) {
      lost(one, error)
    }
    here.delete(one)
    if (here.size === 0) {
      clearTimeout(timer)
      timer = undefined
    }
    onFree()
  }
  return {
    isIdle: () => here.size === 0,
    canQueue: (name) =>
      here.size === 1 && [...here].every(({ batch }) => batch[0]?.name === name) && (current()?.worked ?? 0) < PATIENCE_MS,
    send(batch) {
      const first = numbers(batch.length)
      for (const [i, asked] of batch.entries()) {
        asked.task = first + i
        nowWaits(begun, first + i)
      }
      const one = { first, batch, end: new AbortController(), late: false }
      here.add(one)
      if (!timer) lookIn(shortestDeadline())
      void answered(one)
    },
    close: () => {
      closed = true
      return piscina.destroy()
    },
  }
}
