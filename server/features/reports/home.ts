import { DateTime } from 'luxon'
import { HomeView } from '#contract/home'
import { loadMill } from '#features/requirements/mill'
import { proveStock } from '#features/stock/ledger'
import type { Role } from '#platform/actor'
import { dayAt } from '#platform/mill-day'
import { query } from '#platform/query'
import { loadFormulas, loadLoads, loadOpenOrders, loadToHandOver } from './home-day.js'
import { loadDecisions } from './home-decide.js'
import { loadEndsFirst, loadHeldLots, type HeldLots } from './home-lots.js'

type Block = 'loads' | 'toHandOver' | 'toTest' | 'onHold' | 'endsFirst' | 'formulas' | 'orders' | 'books'
/** Which blocks answer a role's three questions (console.md section 1); the others are empty for it. */
const BLOCKS: { readonly [role in Role]: readonly Block[] } = {
  manager: ['loads', 'toHandOver', 'onHold', 'endsFirst', 'formulas', 'orders', 'books'],
  nutritionist: ['formulas', 'onHold'],
  'store-keeper': ['toHandOver', 'onHold', 'endsFirst'],
  laboratory: ['toTest', 'onHold'],
  'mixer-operator': ['loads'],
  'counter-clerk': ['toHandOver', 'orders'],
  member: ['orders'],
}
const NONE: HeldLots = { toTest: [], onHold: [], toDecide: [] }

const dayStart = (now: Date, timeZone: string): Date => DateTime.fromJSDate(now, { zone: timeZone }).startOf('day').toJSDate()

/** What somebody must know on opening: answers, not menus. */
export const showHome = query({
  roles: 'everyone',
  output: HomeView,
  async run({ db, actor, now }) {
    const has = (block: Block): boolean => BLOCKS[actor.role].includes(block)
    const mill = await loadMill(db)
    const held = has('onHold') || has('toTest') ? await loadHeldLots(db) : NONE
    const { loads, loadsDone } = has('loads') ? await loadLoads(db, dayStart(now, mill.timeZone)) : { loads: [], loadsDone: 0 }
    const decide = await loadDecisions(db, actor, { held, now })
    const toHandOver = has('toHandOver') ? await loadToHandOver(db) : []
    const orders = has('orders') ? await loadOpenOrders(db, actor) : []
    return {
      at: now.toISOString(),
      role: actor.role,
      decide,
      loads,
      loadsDone,
      toHandOver,
      toTest: has('toTest') ? held.toTest : [],
      onHold: has('onHold') ? held.onHold : [],
      endsFirst: has('endsFirst') ? await loadEndsFirst(db, dayAt(now, mill.timeZone)) : [],
      formulas: has('formulas') ? await loadFormulas(db) : [],
      orders,
      booksWhole: has('books') ? (await proveStock(db, now)).whole : null,
      counts: {
        decide: decide.length,
        loads: loads.length,
        toHandOver: toHandOver.length,
        toTest: has('toTest') ? held.toTest.length : 0,
        onHold: has('onHold') ? held.onHold.length : 0,
        orders: orders.length,
      },
    }
  },
})
