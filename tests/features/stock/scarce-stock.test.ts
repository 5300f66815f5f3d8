import { afterAll, beforeAll, expect, it } from 'vitest'
import { proveStock } from '#features/stock/ledger'
import { createUser, PASSWORD } from '../../support/users.js'
import { makeLot, type BuiltLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { openMill } from '../../support/mill.js'
import { HttpClient, startServer, type HttpAnswer, type ServerProcess } from '../../support/server-process.js'

const CLIENTS = 64
const ATTEMPTS = 10_000
const LOTS = 40
const LOT_KG = 50
// As a client of the counter would, this one asks again until it knows.
const MOST_TRIES = 60

const mill = await openMill()
let servers: ServerProcess[] = []
let clients: HttpClient[] = []
let lots: BuiltLot[] = []

beforeAll(async () => {
  await prepareMill(mill.db)
  for (let index = 0; index < LOTS; index += 1) lots.push(await makeLot(mill.db, { netKg: `${LOT_KG}.000` }))
  const environment = {
    DATABASE_URL: mill.ownerUrl,
    KINU_SESSION_SECRET: 'the secret that both processes share 01',
    LOG_LEVEL: 'fatal',
    // As in production but for these two: all 64 clients come from one address, and nothing is shed on a machine that runs other tests too.
    KINU_REQUESTS_PER_MINUTE: '1000000',
    KINU_MAX_EVENT_LOOP_DELAY_MS: '0',
  }
  servers = await Promise.all([startServer('stock-server.ts', environment), startServer('stock-server.ts', environment)])
  for (let index = 0; index < CLIENTS; index += 1) {
    const client = new HttpClient(servers[index % servers.length]?.address ?? '')
    const user = await createUser(mill.db, { role: 'store-keeper' })
    await client.signIn(user.login, PASSWORD)
    clients.push(client)
  }
}, 300_000)

afterAll(async () => {
  for (const client of clients) client.close()
  await Promise.all(servers.map(({ stop }) => stop()))
  clients = []
  lots = []
})

type Attempt = { readonly client: HttpClient; readonly lotId: string; readonly key: string }
type Known = Attempt & { readonly answer: HttpAnswer; readonly tries: number }

const untilKnown = async (attempt: Attempt): Promise<Known> => {
  for (let tries = 1; tries <= MOST_TRIES; tries += 1) {
    const answer = await attempt.client.post('/test-reservations', { lotId: attempt.lotId, kg: '1' }, attempt.key)
    const busy = answer.status === 0 || answer.status === 503 || answer.text.includes('idempotency-key-busy')
    if (!busy) return { ...attempt, answer, tries }
  }
  throw new Error('an attempt was never answered')
}

// Each client walks the lots from a place of its own in steps that have no factor in common with their number.
const attemptsOf = (client: HttpClient, number: number): Attempt[] =>
  Array.from({ length: Math.floor(ATTEMPTS / CLIENTS) + (number < ATTEMPTS % CLIENTS ? 1 : 0) }, (_, index) => ({
    client,
    lotId: lots[(number * 7 + index * 11) % LOTS]?.id ?? '',
    key: `attempt-${number}-${index}`,
  }))

const workOff = async (attempts: readonly Attempt[]): Promise<Known[]> => {
  const known: Known[] = []
  for (const attempt of attempts) known.push(await untilKnown(attempt))
  return known
}

const ledgerTransfers = async (): Promise<string[]> => {
  const rows = await mill.db.stockTransfer.findMany({ where: { kind: 'reservation' }, select: { id: true } })
  return rows.map(({ id }) => id).sort()
}
const idOf = ({ answer }: Known): string => (JSON.parse(answer.text) as { transferId: string }).transferId

it('grants 64 clients of two processes exactly what there is, and every acknowledged grant stands in the ledger', async () => {
  const began = performance.now()
  const known = (await Promise.all(clients.map((client, number) => workOff(attemptsOf(client, number))))).flat()
  const seconds = (performance.now() - began) / 1000
  const granted = known.filter(({ answer }) => answer.status === 201)
  const refused = known.filter(({ answer }) => answer.status === 409)
  const repeats = known.reduce((sum, { tries }) => sum + tries - 1, 0)
  process.stdout.write(
    `\nscarce stock: ${ATTEMPTS} attempts in ${seconds.toFixed(1)} s (${(ATTEMPTS / seconds).toFixed(0)} a second), ` +
      `${granted.length} granted, ${refused.length} refused, ${repeats} asked again\n`,
  )

  expect(known).toHaveLength(ATTEMPTS)
  expect(granted.length + refused.length).toBe(ATTEMPTS)
  expect(refused.every(({ answer }) => answer.text.includes('stock-short'))).toBe(true)
  expect(refused.length).toBeGreaterThan(0)
  // All there is was granted, or a test in which every attempt fails would pass too.
  expect(granted).toHaveLength(LOTS * LOT_KG)
  expect(await ledgerTransfers()).toEqual(granted.map(idOf).sort())
  for (const { id } of lots) {
    const sum = await mill.db.stockEntry.aggregate({ where: { lotId: id, account: 'lot-reserved' }, _sum: { kg: true }, _count: true })
    const lot = await mill.db.lot.findUniqueOrThrow({ where: { id } })
    expect([sum._count, sum._sum.kg?.toFixed(3), lot.reservedKg.toFixed(3)]).toEqual([LOT_KG, `${LOT_KG}.000`, `${LOT_KG}.000`])
    expect(granted.filter(({ lotId }) => lotId === id)).toHaveLength(LOT_KG)
  }
  expect(await mill.db.auditEntry.count({ where: { action: 'lot.set-aside' } })).toBe(granted.length)

  const repeated = granted.filter((_, index) => index % 2 === 0)
  for (let start = 0; start < repeated.length; start += CLIENTS) {
    const again = await Promise.all(repeated.slice(start, start + CLIENTS).map((grant) => untilKnown(grant)))
    for (const [index, { answer }] of again.entries()) {
      expect(answer).toMatchObject({ status: 201, replayed: true, text: repeated[start + index]?.answer.text })
    }
  }
  expect(await ledgerTransfers()).toHaveLength(granted.length)
  expect(await proveStock(mill.db)).toMatchObject({ whole: true, auditBrokenAt: null, lotDifferences: [] })
}, 540_000)

const RACED = 20
const RACED_KG = 1000
/** Kilograms that each store keeper asks for, one after the other. */
const ASKED_EACH = 15
const DECIDERS = 4

/** Rejects or releases with the revision it has just read, again until it is the newest: reservations change it all the time. */
const decide = async (manager: HttpClient, lotId: string, how: 'reject' | 'release'): Promise<void> => {
  for (let tries = 1; tries <= MOST_TRIES; tries += 1) {
    const { revision } = await mill.db.lot.findUniqueOrThrow({ where: { id: lotId } })
    const body = how === 'reject' ? { reason: 'weevils in every bag' } : { reason: 'looked at', stages: [], retestOn: null }
    const { status, text } = await manager.post(`/lots/${lotId}/${how}`, body, undefined, revision)
    if (status === 200) return
    if (status !== 412 && status !== 503 && status !== 0) throw new Error(`${how}: ${status} ${text}`)
  }
  throw new Error(`a lot could not be decided: ${how}`)
}

it('uses no lot after its rejection and none before its release, when 64 clients of two processes reserve, release and reject at once', async () => {
  const facts = { ingredientId: 'limestone', netKg: `${RACED_KG}.000` } as const
  const raced: BuiltLot[] = []
  for (let i = 0; i < RACED; i += 1) raced.push(await makeLot(mill.db, { ...facts, status: i % 2 === 0 ? 'released' : 'on-hold' }))
  const managers = clients.slice(0, DECIDERS)
  for (const manager of managers) await manager.signIn((await createUser(mill.db, { role: 'manager' })).login, PASSWORD)
  const keepers = clients.slice(DECIDERS)
  let answered = 0
  const reserving = keepers.map(async (client, number) => {
    const known: Known[] = []
    for (let i = 0; i < ASKED_EACH; i += 1) {
      known.push(await untilKnown({ client, lotId: raced[(number * 7 + i * 3) % RACED]?.id ?? '', key: `race-${number}-${i}` }))
      answered += 1
    }
    return known
  })
  // Spread over the race by what has been answered, so that each lot is asked for before and after: half of those released on the way go too.
  const all = keepers.length * ASKED_EACH
  const deciding = managers.map(async (manager, number) => {
    for (let i = number; i < RACED; i += DECIDERS) {
      while (answered < (all * (i + 1)) / (RACED + 4)) await new Promise((again) => setTimeout(again, 5))
      const id = raced[i]?.id ?? ''
      await decide(manager, id, i % 2 === 0 ? 'reject' : 'release')
      if (i % 4 === 1) await decide(manager, id, 'reject')
    }
  })
  const began = performance.now()
  const [known] = await Promise.all([Promise.all(reserving), Promise.all(deciding)])
  const seconds = (performance.now() - began) / 1000
  const granted = known.flat().filter(({ answer }) => answer.status === 201)
  const refused = known.flat().filter(({ answer }) => answer.status !== 201)
  process.stdout.write(
    `\nrace of lots: ${all} attempts and ${RACED + RACED / 4} decisions in ${seconds.toFixed(1)} s (${(all / seconds).toFixed(0)} a second), ` +
      `${granted.length} granted, ${refused.length} refused\n`,
  )
  expect(granted.length).toBeGreaterThan(all / 10)
  expect(refused.length).toBeGreaterThan(all / 10)
  const codes = new Set(refused.map(({ answer }) => `${answer.status} ${(JSON.parse(answer.text) as { code: string }).code}`))
  expect([...codes]).toEqual(['409 lot-not-released'])

  for (const [i, { id }] of raced.entries()) {
    // the history is one chain in the order of commits
    const history = await mill.db.auditEntry.findMany({ where: { entityId: id }, orderBy: { seq: 'asc' } })
    const told = history.map(({ action }) => action)
    const [released, rejected] = [told.indexOf('lot.released'), told.indexOf('lot.rejected')]
    expect(released >= 0, 'released on the way').toBe(i % 2 === 1)
    expect(rejected >= 0, 'rejected on the way').toBe(i % 4 !== 3)
    const used = told.flatMap((action, place) => (action === 'lot.set-aside' ? [place] : []))
    expect(used).toHaveLength(granted.filter(({ lotId }) => lotId === id).length)
    expect(used.every((place) => place > released && (rejected < 0 || place < rejected))).toBe(true)
    const lot = await mill.db.lot.findUniqueOrThrow({ where: { id } })
    expect([lot.status, lot.reservedKg.toFixed(3)]).toEqual([i % 4 === 3 ? 'released' : 'rejected', `${used.length}.000`])
    // what was set aside before is told, to the kilogram
    const open = await mill.db.discrepancy.findMany({ where: { lotId: id, kind: 'rejected-lot-reserved' } })
    const expected = rejected >= 0 && used.length > 0 ? [{ reservedKg: `${used.length}.000` }] : []
    expect(open.map(({ facts: of }) => of)).toMatchObject(expected)
  }
  expect(await proveStock(mill.db)).toMatchObject({ whole: true, auditBrokenAt: null, lotDifferences: [] })
}, 300_000)
