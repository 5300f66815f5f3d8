import fc from 'fast-check'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { MillError } from '#core/errors'
import { formatKg, grams } from '#core/quantity/mass'
import { stockAsOf } from '#features/stock/as-of'
import {
  compareCount,
  issueToBatch,
  lockLot,
  proveStock,
  putMaking,
  putCount,
  receiveIntoStock,
  releaseReservation,
  reserveLots,
  returnFree,
  reverseTransfer,
  undoMakingMovement,
  writeOffFree,
} from '#features/stock/ledger'
import { MILL_AS_SUPPLIER } from '#features/lots/mill-supplier'
import type { Tx } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { prepareMill } from '../../../support/builders/mill.js'
import { makeLedgerPlace, type LedgerPlace } from '../../../support/builders/stock.js'
import { makeSupplier } from '../../../support/builders/suppliers.js'
import { openMill } from '../../../support/mill.js'
import * as book from './book.js'

/*
 * How it is fast: every run stands in one transaction of real PostgreSQL, committed at its end (so that the database checks that each
 * movement sums to zero), with lots of its own. No savepoint is needed, since a refusal comes before the first change of its step. So
 * that what was entered when can be told apart inside one transaction, the test says the time of entry itself. Four rows of runs go at
 * once, each on its own connection.
 */
const RUNS = 2_000
const LONG_RUNS = 80
const STEPS = 50
const AT_ONCE = 4
const START = Date.parse('2026-11-01T06:00:00Z')
/** Things are entered from this minute of a run on, one a minute; some happened up to this long before. */
const FIRST = 100

const mill = await openMill({ environment: { KINU_DATABASE_CONNECTIONS: '8' } })
let place: LedgerPlace
let supplierId: string
beforeAll(async () => {
  await prepareMill(mill.db)
  place = await makeLedgerPlace(mill.db)
  supplierId = (await makeSupplier(mill.db)).id
  await mill.db.supplier.create({ data: { id: MILL_AS_SUPPLIER, name: 'The mill', createdAt: at(0) } })
})
const tally = new Map<string, number>()
afterAll(() => process.stdout.write(`ledger model: ${[...tally].map(([what, times]) => `${what} ${times}`).join(', ')}\n`))
const seen = (what: string): void => void tally.set(what, (tally.get(what) ?? 0) + 1)

const at = (minute: number): Date => new Date(START + minute * 60_000)
type Model = { clock: number; readonly shelves: book.Shelf[] }
type Real = { readonly tx: Tx; readonly lots: string[] }
type Step = fc.AsyncCommand<Model, Real>

const timesOf = ({ happened, entered, id }: book.When) => ({ id, actorId: place.actorId, happenedAt: at(happened), enteredAt: at(entered) })
const refusalOf = (work: Promise<unknown>): Promise<unknown> =>
  work.then(
    (value) => value,
    (error: unknown) => (error instanceof MillError ? error.code : Promise.reject(error)),
  )

type OfLot = (about: { shelf: book.Shelf; when: book.When; tx: Tx; lotId: string; times: ReturnType<typeof timesOf> }) => {
  expected: unknown
  real: () => Promise<unknown>
}
/** One step on one lot: the model says what must come of it, then the ledger does it. `back` minutes ago it happened. */
const onLot = (name: string, lot: number, back: number, work: OfLot): Step => ({
  check: () => true,
  toString: () => name,
  async run(model, { tx, lots }) {
    const index = lot % lots.length
    const [shelf, lotId] = [model.shelves[index], lots[index]]
    if (shelf === undefined || lotId === undefined) throw new Error('There is no such lot')
    const entered = (model.clock += 1)
    const when = { id: newId(), happened: entered - back, entered }
    const { expected, real } = work({ shelf, when, tx, lotId, times: timesOf(when) })
    const answer = await refusalOf(real())
    expect(answer, name).toEqual(expected)
    seen(`${name.split(' ')[0]}${typeof expected === 'string' ? ' refused' : ''}`)
  },
})

const createLot = async (tx: Tx, when: book.When, kg: string): Promise<string> => {
  const lotId = newId()
  const delivered = { receivedAt: at(when.happened), receivedBy: place.actorId, netKg: kg, pricePerKg: '40', status: 'released' }
  await tx.lot.create({ data: { id: lotId, ingredientId: 'maize_white', supplierId, ...delivered }, select: { id: true } })
  await receiveIntoStock(tx, { ...timesOf(when), lotId, supplierId, kg })
  return lotId
}
const receive = (mass: number): Step => ({
  check: () => true,
  toString: () => `receive ${mass}`,
  async run(model, { tx, lots }) {
    const entered = (model.clock += 1)
    const when = { id: newId(), happened: entered, entered }
    model.shelves.push(book.receive(when, mass))
    lots.push(await createLot(tx, when, formatKg(grams(mass))))
    seen('receive')
  },
})

const kg = (mass: number): string => formatKg(grams(mass))
const reserve = (lot: number, mass: number): Step =>
  onLot(`reserve ${lot} ${mass}`, lot, 0, ({ shelf, when, tx, lotId, times }) => ({
    expected: book.reserve(shelf, when, mass),
    real: () => reserveLots(tx, { ...times, orderId: place.orderId, lines: [{ lotId, kg: kg(mass) }], today: '2026-11-01' }),
  }))
const release = (lot: number, mass: number): Step =>
  onLot(`release ${lot} ${mass}`, lot, 0, ({ shelf, when, tx, lotId, times }) => ({
    expected: book.release(shelf, when, mass),
    real: () => releaseReservation(tx, { ...times, orderId: place.orderId, lines: [{ lotId, kg: kg(mass) }], reason: 'given up' }),
  }))
const issue = (lot: number, reserved: number, actual: number): Step =>
  onLot(`issue ${lot} ${reserved} ${actual}`, lot, 0, ({ shelf, when, tx, lotId, times }) => {
    const expected = book.issue(shelf, when, reserved, actual)
    const lines = [{ lotId, reservedKg: kg(reserved), actualKg: kg(actual) }]
    const unexplained = typeof expected === 'number' && expected > 0 ? [{ lotId, kg: kg(expected) }] : []
    return {
      expected: typeof expected === 'string' ? expected : { unexplained },
      real: () => issueToBatch(tx, { ...times, orderId: place.orderId, batchId: place.batchId, lines }),
    }
  })
const count = (lot: number, back: number, mass: number): Step =>
  onLot(`count ${lot} ${mass} ${back} minutes ago`, lot, back, ({ shelf, when, tx, lotId, times }) => ({
    expected: book.count(shelf, when, mass),
    async real() {
      const locked = await lockLot(tx, lotId)
      const counted = await compareCount(tx, locked, grams(mass), times.happenedAt)
      await putCount(tx, { ...times, reason: 'counted', lot: locked, counted })
      return counted.missing
    },
  }))
const takeAway = (kind: 'write-off' | 'return', lot: number, back: number, mass: number): Step =>
  onLot(`${kind} ${lot} ${mass} ${back} minutes ago`, lot, back, ({ shelf, when, tx, lotId, times }) => {
    const taken = { ...times, lotId, kg: grams(mass), reason: 'spoilt' }
    return {
      expected: book.takeAway(shelf, kind, when, mass),
      real: () => (kind === 'return' ? returnFree(tx, { ...taken, supplierId }) : writeOffFree(tx, taken)),
    }
  })
const create = async (tx: Tx, when: book.When): Promise<string> => {
  const lotId = newId()
  const made = {
    receivedAt: at(when.happened),
    receivedBy: place.actorId,
    netKg: '1',
    pricePerKg: '40',
    status: 'released',
    madeBy: 'grinding',
  }
  await tx.lot.create({ data: { id: lotId, ingredientId: 'maize_white', supplierId: MILL_AS_SUPPLIER, ...made }, select: { id: true } })
  return lotId
}
/** Part of a lot becomes another lot of the run; what is lost or gained has its own account. A refused one leaves no new lot behind. */
const make = (lot: number, some: number, changed: number): Step => ({
  check: () => true,
  toString: () => `make ${lot} ${some} ${changed}`,
  async run(model, { tx, lots }) {
    const index = lot % lots.length
    const [shelf, parentId] = [model.shelves[index], lots[index]]
    if (shelf === undefined || parentId === undefined) throw new Error('There is no such lot')
    const entered = (model.clock += 1)
    const when = { id: newId(), happened: entered, entered }
    const got = Math.max(1, some + changed)
    const expected = book.make(shelf, when, some, got)
    const lotId = await create(tx, when)
    const lines = [{ lotId: parentId, grams: grams(some), path: 'inputs.0.kg' }]
    const lossKind = got > some ? 'not-explained' : 'dust'
    const answer = await refusalOf(
      putMaking(tx, { ...timesOf(when), kind: 'grinding', lotId, lines, got: grams(got), lossKind, today: '2026-11-01' }),
    )
    expect(answer).toEqual(typeof expected === 'string' ? expected : undefined)
    seen(`make${typeof expected === 'string' ? ' refused' : ''}`)
    if (typeof expected === 'string') return
    model.shelves.push(expected)
    lots.push(lotId)
  },
})
/** The lot that this one was made from. */
const parentOf = (shelves: readonly book.Shelf[], made: book.Shelf): book.Shelf =>
  shelves.find((shelf) => shelf !== made && shelf.moved.some(({ id }) => id === made.moved[0]?.id)) ?? made
const undo = (lot: number): Step => ({
  check: () => true,
  toString: () => `undo ${lot}`,
  async run(model, { tx, lots }) {
    const made = model.shelves.flatMap((shelf, index) => (shelf.moved[0]?.kind === 'grinding' ? [{ shelf, lotId: lots[index] ?? '' }] : []))
    const one = made[lot % made.length]
    const first = one?.shelf.moved[0]
    if (one === undefined || first === undefined) return
    const entered = (model.clock += 1)
    const id = newId()
    const expected = book.undoMaking(one.shelf, parentOf(model.shelves, one.shelf), { id, entered })
    const times = { id, actorId: place.actorId, enteredAt: at(entered), reason: 'typed wrongly' }
    expect(await refusalOf(undoMakingMovement(tx, { ...times, lotId: one.lotId, transferId: first.id }))).toEqual(expected)
    seen(`undo${expected === undefined ? '' : ' refused'}`)
  },
})
const reverse = (lot: number, which: number): Step =>
  onLot(`reverse ${lot} ${which}`, lot, 0, ({ shelf, when, tx, times: { happenedAt: _now, ...times } }) => {
    const moved = shelf.moved[which % shelf.moved.length]
    if (moved === undefined) throw new Error('Every lot was received')
    return {
      expected: book.reverse(shelf, moved, when),
      real: async () => {
        await reverseTransfer(tx, { ...times, reversesId: moved.id, reason: 'typed wrongly' })
      },
    }
  })

type Decimal = { toFixed: (places: number) => string }
const told = (onHand: Decimal, reserved: Decimal): string[] => [onHand.toFixed(3), reserved.toFixed(3)]
const modelled = ({ onHand, reserved }: book.Figures) => [onHand, reserved].map((mass) => (mass / 1000).toFixed(3))

/** The figures of all lots of the run at a minute, by both clocks. */
const compareAsOf = async ({ shelves }: Model, { tx, lots }: Real, minute: number): Promise<void> => {
  const rows = await stockAsOf(tx, at(minute), { page: 1, perPage: 200, order: 'asc', ids: lots })
  const byId = new Map(rows.map((row) => [row.id, row]))
  shelves.forEach((shelf, index) => {
    const row = byId.get(lots[index] ?? '')
    const there = shelf.moved.some(({ happened, entered }) => happened <= minute || entered <= minute)
    expect(row !== undefined, `lot ${index} at ${minute}`).toBe(there)
    if (row === undefined) return
    expect(told(row.happened_on_hand, row.happened_reserved)).toEqual(modelled(book.figuresAt(shelf, 'happened', minute)))
    expect(told(row.entered_on_hand, row.entered_reserved)).toEqual(modelled(book.figuresAt(shelf, 'entered', minute)))
  })
  seen('as-of')
}
const asOf = (part: number): Step => ({
  check: () => true,
  toString: () => `as of ${part}`,
  run: (model, real) => compareAsOf(model, real, Math.round(model.clock * part)),
})

type Balance = { id: string; status: string; on_hand_kg: Decimal; reserved_kg: Decimal }
const compareBalances = async ({ shelves }: Model, { tx, lots }: Real): Promise<void> => {
  const rows = await tx.$queryRaw<Balance[]>`SELECT id, status, on_hand_kg, reserved_kg FROM lot WHERE id = ANY(${lots}::uuid[])`
  const byId = new Map(rows.map((row) => [row.id, [row.status, ...told(row.on_hand_kg, row.reserved_kg)]]))
  shelves.forEach((shelf, index) => expect(byId.get(lots[index] ?? '')).toEqual([shelf.status, ...modelled(book.figures(shelf))]))
}

// Few lots and few kilograms, so that limits are met often.
const lot = fc.nat({ max: 2 })
const mass = fc.oneof(
  fc.integer({ min: 1, max: 12 }).map((whole) => whole * 1000),
  fc.integer({ min: 1, max: 12_000 }),
)
const back = fc.oneof(fc.constant(0), fc.nat({ max: FIRST }))
const steps = [
  fc.integer({ min: 1, max: 20 }).map((whole) => receive(whole * 1000)),
  fc.tuple(lot, mass).map(([of, some]) => reserve(of, some)),
  fc.tuple(lot, mass).map(([of, some]) => reserve(of, some)),
  fc.tuple(lot, mass).map(([of, some]) => release(of, some)),
  fc.tuple(lot, fc.oneof(fc.constant(0), mass), mass).map(([of, held, some]) => issue(of, held, some)),
  fc.tuple(lot, back, fc.oneof(fc.constant(0), mass)).map(([of, ago, some]) => count(of, ago, some)),
  fc.tuple(lot, back, mass).map(([of, ago, some]) => takeAway('write-off', of, ago, some)),
  fc.tuple(lot, back, mass).map(([of, ago, some]) => takeAway('return', of, ago, some)),
  fc.tuple(lot, fc.nat({ max: 60 })).map(([of, which]) => reverse(of, which)),
  fc.tuple(lot, mass, fc.integer({ min: -500, max: 200 })).map(([of, some, changed]) => make(of, some, changed)),
  fc.nat({ max: 5 }).map(undo),
  fc.double({ min: 0.3, max: 1.1, noNaN: true }).map(asOf),
]

const runOnce = (commands: Iterable<Step>): Promise<void> =>
  mill.db.$transaction(
    async (tx) => {
      const model: Model = { clock: FIRST, shelves: [] }
      const real: Real = { tx, lots: [] }
      await receive(20_000).run(model, real)
      await fc.asyncModelRun(() => ({ model, real }), commands)
      await compareBalances(model, real)
      await compareAsOf(model, real, model.clock)
    },
    { timeout: 60_000, maxWait: 60_000 },
  )

const inRows = (runs: number, size: 'small' | 'max'): Promise<unknown> =>
  Promise.all(
    Array.from({ length: AT_ONCE }, (_, row) =>
      fc.assert(fc.asyncProperty(fc.commands(steps, { maxCommands: STEPS, size }), runOnce), {
        numRuns: runs / AT_ONCE,
        seed: 20_261_128 + row,
      }),
    ),
  )

it(`agrees with a plain list of movements over ${RUNS} runs of up to ${STEPS} steps`, async () => {
  // Most runs are short, as the generator likes them; some go on for up to fifty steps.
  await inRows(RUNS - LONG_RUNS, 'small')
  await inRows(LONG_RUNS, 'max')
  for (const kind of ['reserve', 'release', 'issue', 'count', 'write-off', 'return', 'reverse', 'make', 'undo'])
    for (const how of [kind, `${kind} refused`]) expect(tally.get(how) ?? 0, how).toBeGreaterThan(20)
  expect((await proveStock(mill.db)).whole).toBe(true)
}, 600_000)

// ---------------------------------------------------------------- several people at once on the same lots

type Deed = { readonly kind: string; readonly lot: number; readonly mass: number; readonly held: number; readonly which: number }
const deed = fc.record({
  kind: fc.constantFrom('reserve', 'reserve', 'release', 'issue', 'count', 'write-off', 'return', 'reverse'),
  lot: fc.nat({ max: 1 }),
  mass,
  held: mass,
  which: fc.nat({ max: 20 }),
})
type Log = { readonly lotId: string; readonly moved: book.Moved }[]

/** What a deed that was taken did to its lot, from its own answer: the order in which people came does not matter to the sums. */
const doDeed = async ({ kind, mass: some, held, which }: Deed, lotId: string, when: book.When, log: Log): Promise<void> => {
  const times = timesOf(when)
  const lines = [{ lotId, kg: kg(some) }]
  const earlier = log.filter((entry) => entry.lotId === lotId)
  const wrong = earlier[which % earlier.length]?.moved
  const effect = await mill.db.$transaction(async (tx): Promise<{ free: number; reserved: number; happened?: number }> => {
    switch (kind) {
      case 'reserve':
        await reserveLots(tx, { ...times, orderId: place.orderId, lines, today: '2026-11-01' })
        return { free: -some, reserved: some }
      case 'release':
        await releaseReservation(tx, { ...times, orderId: place.orderId, lines, reason: 'given up' })
        return { free: some, reserved: -some }
      case 'issue': {
        const weighed = [{ lotId, reservedKg: kg(held), actualKg: kg(some) }]
        const { unexplained } = await issueToBatch(tx, { ...times, orderId: place.orderId, batchId: place.batchId, lines: weighed })
        const taken = some - Math.round(Number(unexplained[0]?.kg ?? '0') * 1000)
        return { free: held - taken, reserved: -held }
      }
      case 'count': {
        const lot = await lockLot(tx, lotId)
        const counted = await compareCount(tx, lot, grams(some), times.happenedAt)
        await putCount(tx, { ...times, reason: 'counted', lot, counted })
        return { free: counted.taken, reserved: 0 }
      }
      case 'reverse': {
        if (wrong === undefined) throw new MillError('not-found')
        const { happenedAt: _now, ...entered } = times
        const { change } = await reverseTransfer(tx, { ...entered, reversesId: wrong.id, reason: 'typed wrongly' })
        return { free: change, reserved: 0, happened: wrong.happened }
      }
      default: {
        const taken = { ...times, lotId, kg: grams(some), reason: 'spoilt' }
        await (kind === 'return' ? returnFree(tx, { ...taken, supplierId }) : writeOffFree(tx, taken))
        return { free: -some, reserved: 0 }
      }
    }
  })
  log.push({ lotId, moved: { ...when, kind, reversed: false, ...effect } })
}

const together = async (people: readonly (readonly Deed[])[]): Promise<void> => {
  const log: Log = []
  const first = { id: newId(), happened: FIRST, entered: FIRST }
  const lots: string[] = []
  for (let made = 0; made < 2; made += 1) {
    const when = { ...first, id: newId() }
    const lotId = await mill.db.$transaction((tx) => createLot(tx, when, '30.000'))
    lots.push(lotId)
    log.push({ lotId, moved: { ...when, kind: 'receipt', free: 30_000, reserved: 0, reversed: false } })
  }
  let clock = FIRST
  const onePerson = async (deeds: readonly Deed[]): Promise<void> => {
    for (const one of deeds) {
      const entered = (clock += 1)
      const answer = await refusalOf(doDeed(one, lots[one.lot] ?? '', { id: newId(), happened: entered, entered }, log))
      seen(`${one.kind} together${answer === undefined ? '' : ' refused'}`)
    }
  }
  await Promise.all(people.map(onePerson))
  const shelves = lots.map((lotId): book.Shelf => ({
    status: 'released',
    moved: log.filter((entry) => entry.lotId === lotId).map(({ moved }) => moved),
  }))
  const real: Real = { tx: mill.db, lots }
  const model: Model = { clock, shelves }
  for (const minute of [FIRST, Math.round((FIRST + clock) / 2), clock]) await compareAsOf(model, real, minute)
  const rows = await mill.db.lot.findMany({ where: { id: { in: lots } } })
  const balances = new Map(rows.map((row) => [row.id, told(row.onHandKg, row.reservedKg)]))
  expect(lots.map((id) => balances.get(id))).toEqual(shelves.map((shelf) => modelled(book.figures(shelf))))
  for (const shelf of shelves) {
    expect(book.figures(shelf).reserved).toBeGreaterThanOrEqual(0)
    expect(book.figures(shelf).onHand).toBeGreaterThanOrEqual(book.figures(shelf).reserved)
    // Each movement was taken back at most once, whoever asked first.
    const taken = shelf.moved.filter(({ kind }) => kind === 'reverse')
    const backs = await mill.db.stockTransfer.findMany({ where: { id: { in: taken.map(({ id }) => id) } }, select: { reversesId: true } })
    expect(new Set(backs.map(({ reversesId }) => reversesId)).size).toBe(taken.length)
  }
}

it('agrees with what was answered when four people work on the same two lots at once', async () => {
  const people = fc.array(fc.array(deed, { minLength: 4, maxLength: 12 }), { minLength: 4, maxLength: 4 })
  await fc.assert(fc.asyncProperty(people, together), { numRuns: 40, seed: 20_261_128 })
  for (const kind of ['reserve', 'count', 'write-off', 'return', 'reverse']) expect(tally.get(`${kind} together`) ?? 0).toBeGreaterThan(5)
  expect((await proveStock(mill.db)).whole).toBe(true)
}, 600_000)
