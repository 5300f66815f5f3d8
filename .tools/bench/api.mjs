// A started mill with its demo: from a changed limit to the new answer, and how long lists take while many solves wait.
import { signInTo } from './client.mjs'
import { medianOf, quantileOf, range } from './figures.mjs'
import { PASSWORD, startMill } from './server.mjs'

const EDITS = 100
const QUEUED = 200
const LISTS = 300
const DOMAIN = 'mlimakijani.example'

async function timed(work) {
  const started = performance.now()
  const answer = await work()
  return { ms: performance.now() - started, answer }
}

const parsed = async (text) => JSON.parse(await text)

/** The layer mash of the demo with its protein minimum a little lower each time. */
async function editOf(person) {
  const formulas = await parsed(person.get('/api/v1/formulas?perPage=100'))
  const { stage, approved } = formulas.find(({ nameEn }) => nameEn === 'Layer mash')
  const { limits } = await parsed(person.get(`/api/v1/formula-versions/${approved.id}`))
  const lowered = (i) => limits.nutrients.map((one) => (one.nutrient === 'CP' ? { ...one, min: one.min * (1 - i / 20_000) } : one))
  return (i) => ({ stage, limits: { ...limits, nutrients: lowered(i) }, batchKg: '1000' })
}

async function measureEdits(person, edit) {
  const solve = async (i) => {
    const { ms, answer } = await timed(() => person.post('/api/v1/solve', edit(i)))
    if (JSON.parse(answer).kind !== 'optimal') throw new Error('the layer mash of the demo has no mix')
    return ms
  }
  for (const i of range(20)) await solve(i)
  const times = []
  for (const i of range(EDITS)) times.push(await solve(i))
  console.log(`\nFrom a changed limit to the new answer, layer mash of the demo, ${EDITS} edits one after the other`)
  console.log(`median ${medianOf(times).toFixed(0)} ms (goal 100), 90th percentile ${quantileOf(times, 0.9).toFixed(0)} ms`)
}

/** Lists one after the other until so many are answered. */
async function listTimes(person, count) {
  const times = []
  while (times.length < count) times.push((await timed(() => person.get('/api/v1/lots?perPage=25'))).ms)
  return times
}

const told = (times, loop) =>
  `median ${medianOf(times).toFixed(0)} ms, p99 ${quantileOf(times, 0.99).toFixed(0)} ms; event loop late by p99 ${loop.p99.toFixed(0)} ms, most ${loop.max.toFixed(0)} ms`

async function measureLists(solving, listing, edit, loop) {
  await listTimes(listing, 50)
  await loop('reset')
  const before = await listTimes(listing, LISTS)
  console.log(`\nGET /api/v1/lots, ${LISTS} one after the other`)
  console.log(`alone:                 ${told(before, await loop('read'))}`)
  let answered = 0
  const solves = range(QUEUED).map(async (i) => {
    const text = await solving.post('/api/v1/solve', edit(i))
    answered += 1
    return JSON.parse(text).kind
  })
  const during = []
  while (answered < QUEUED) during.push(...(await listTimes(listing, 1)))
  const kinds = await Promise.all(solves)
  const wrong = kinds.filter((kind) => kind !== 'optimal').length
  console.log(`with ${QUEUED} solves queued: ${told(during, await loop('read'))} (${during.length} lists; goals 100 and 25)`)
  if (wrong > 0) console.log(`${wrong} of ${QUEUED} solves were not optimal`)
}

export async function measureApi() {
  const { address, loop, stop } = await startMill()
  try {
    const solving = await signInTo(address, `nutritionist@${DOMAIN}`, PASSWORD)
    const listing = await signInTo(address, `store@${DOMAIN}`, PASSWORD)
    const edit = await editOf(solving)
    await measureEdits(solving, edit)
    await measureLists(solving, listing, edit, loop)
  } finally {
    await stop()
  }
}
