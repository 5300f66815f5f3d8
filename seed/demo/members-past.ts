import { changeFlock } from '#features/members/change-flock'
import { createFlock } from '#features/members/create-flock'
import { createMember } from '#features/members/create-member'
import { plainDate } from '#platform/mill-day'
import type { Deed, MomentBefore } from './past.js'
import { MEMBERS } from './people.js'

const JOINED_DAYS_AGO = 75
/** Hens of the demo begin to lay at this age in days. */
const LAYS_FROM_DAY = 145

export const memberPhone = (index: number): string => `+2547000002${String(index + 1).padStart(2, '0')}`
export const flockKey = (member: number, flock: number): string => `${member}/${flock}`
export type DemoIds = { readonly members: Map<number, string>; readonly flocks: Map<string, string> }

type Hen = { readonly member: number; readonly flock: number }

const flockDeeds = (when: MomentBefore, ids: DemoIds, { member, flock }: Hen): Deed[] => {
  const birds = MEMBERS[member]?.flocks[flock]
  if (birds === undefined) return []
  const { name, type, ageDays, birds: count, laying = false } = birds
  const writtenDaysAgo = Math.min(JOINED_DAYS_AGO, ageDays)
  const laysThen = laying && ageDays - writtenDaysAgo >= LAYS_FROM_DAY
  const key = flockKey(member, flock)
  const deeds: Deed[] = [
    {
      at: when(writtenDaysAgo, 12, member),
      run: async (past) => {
        const memberId = ids.members.get(member) ?? null
        const hatchedOn = plainDate(when(ageDays, 12))
        ids.flocks.set(
          key,
          (await past.do('counter', createFlock, { memberId, name, flockType: type, hatchedOn, birds: count, laying: laysThen })).id,
        )
      },
    },
  ]
  if (laying && !laysThen)
    deeds.push({
      at: when(ageDays - LAYS_FROM_DAY, 17, member),
      run: async (past) => {
        await past.do('counter', changeFlock, { id: ids.flocks.get(key) ?? '', revision: 1, name, birds: count, laying: true })
      },
    })
  return deeds
}

export const deedsOfMembers = (when: MomentBefore, ids: DemoIds): Deed[] =>
  MEMBERS.flatMap(({ name, village, language, flocks }, member): Deed[] => [
    {
      at: when(JOINED_DAYS_AGO, 11, member),
      run: async (past) => {
        ids.members.set(member, (await past.do('counter', createMember, { name, phone: memberPhone(member), village, language })).id)
      },
    },
    ...flocks.flatMap((_, flock) => flockDeeds(when, ids, { member, flock })),
  ])
