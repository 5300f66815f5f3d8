import { plainDate } from '#platform/mill-day'
import type { Deps } from '#platform/deps'
import { deedsOfFormulas } from './formulas-past.js'
import { deedsOfStore } from './lots-past.js'
import { deedsOfMaking } from './making.js'
import { deedsOfMembers, memberPhone, type DemoIds } from './members-past.js'
import { foundDemoMill, makeLogins } from './mill.js'
import { deedsOfOffers } from './offers.js'
import { deedsOfOrders } from './orders-past.js'
import { deedsOfSheets } from './sheets.js'
import { inOrder, momentsBefore, Past } from './past.js'
import { MEMBERS } from './people.js'

/** Three invented months, lived through in order by the same commands that people use, so that ledger and history are real. */
export const loadDemo = async (deps: Deps, password: string): Promise<void> => {
  const loadedAt = deps.clock?.() ?? new Date()
  const when = momentsBefore(loadedAt)
  const people = await foundDemoMill(deps, password, plainDate(when(3, 12)))
  const ids: DemoIds = { members: new Map(), flocks: new Map() }
  const deeds = inOrder([
    ...deedsOfStore(when),
    ...deedsOfOffers(when),
    ...deedsOfSheets(when),
    ...deedsOfMembers(when, ids),
    ...deedsOfFormulas(when, password),
    ...deedsOfOrders(when, ids),
    ...deedsOfMaking(when),
  ])
  for (const { at, run } of deeds) await run(new Past(deps, at, people))
  const logins = MEMBERS.map(({ name, language }, index) => {
    const memberId = ids.members.get(index)
    if (memberId === undefined) throw new Error(`${name} did not become a member`)
    return { login: `member${index + 1}`, name, role: 'member' as const, phone: memberPhone(index), language, memberId }
  })
  await makeLogins(deps, logins, password)
}
