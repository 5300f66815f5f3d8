import type { z } from 'zod'
import { FLOCK_TYPES, type FlockView } from '#contract/members'
import { daysBetween, plainDate } from '#platform/mill-day'
import type { Prisma } from '#platform/database/client'
import { stageOfFlock } from './flock-stage.js'
import type { FlockType } from './flock-rules.js'

export const withMember = { member: { select: { name: true } } } as const satisfies Prisma.FlockInclude
type FlockRow = Prisma.FlockGetPayload<{ include: typeof withMember }>

export const typeOf = (word: string): FlockType => {
  const known = FLOCK_TYPES.find((type) => type === word)
  if (known === undefined) throw new Error(`unknown flock type ${word}`)
  return known
}

export const flockView = (row: FlockRow, today: string): z.output<typeof FlockView> => {
  const ageDays = daysBetween(plainDate(row.hatchedOn), today)
  return {
    id: row.id,
    memberId: row.memberId,
    memberName: row.member.name,
    name: row.name,
    flockType: typeOf(row.flockType),
    hatchedOn: plainDate(row.hatchedOn),
    ageWeeks: Math.floor(ageDays / 7),
    ageDays,
    stage: stageOfFlock(row, today)?.id ?? null,
    birds: row.birds,
    laying: row.laying,
    revision: row.revision,
  }
}
