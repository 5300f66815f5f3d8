import { dayFromNow } from './days.js'
import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'

let count = 0

/** A member who has no login; members who sign in come from `newUser({ role: 'member' })`. */
export const makeMember = async (
  db: Db,
  facts: { name?: string; village?: string } = {},
): Promise<{ id: string; number: number; name: string }> => {
  count += 1
  const phone = `+2547${String(10_000_000 + count)}`
  const { id, number, name } = await db.member.create({
    data: { id: newId(), name: `Member ${count}`, phone, village: '', joinedAt: new Date(), ...facts },
  })
  return { id, number, name }
}

export type FlockFacts = {
  readonly memberId?: string
  readonly name?: string
  readonly flockType?: string
  readonly ageWeeks?: number
  readonly birds?: number
  readonly laying?: boolean
}

/** A flock of so many weeks of age today; layers in lay unless said otherwise. */
export const makeFlock = async (db: Db, facts: FlockFacts = {}): Promise<{ id: string; memberId: string }> => {
  const memberId = facts.memberId ?? (await makeMember(db)).id
  const { id } = await db.flock.create({
    data: {
      id: newId(),
      memberId,
      name: facts.name ?? 'Hens behind the house',
      flockType: facts.flockType ?? 'layer',
      hatchedOn: new Date(`${dayFromNow(-7 * (facts.ageWeeks ?? 30))}T00:00:00Z`),
      birds: facts.birds ?? 200,
      laying: facts.laying ?? (facts.ageWeeks ?? 30) >= 20,
      createdAt: new Date(),
    },
  })
  return { id, memberId }
}
