import { z } from 'zod'
import { listQuery } from './lists.js'
import { Instant, LanguageCode, PlainDate, RequiredText, Text } from './quantities.js'

export const FLOCK_TYPES = ['layer', 'broiler', 'dual-purpose', 'turkey', 'duck', 'quail', 'broiler-breeder'] as const

export const MemberListQuery = listQuery(['name', 'number', 'village'], { village: z.string().max(80).optional() })
export const CreateMemberBody = z.strictObject({
  name: RequiredText(80),
  phone: z.string().regex(/^\+[1-9]\d{8,14}$/, 'a phone number in full, such as +254700000012'),
  village: Text(80).default(''),
  language: LanguageCode.default('sw'),
})
export const MemberView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    name: z.string(),
    phone: z.string(),
    village: z.string(),
    language: LanguageCode,
    joinedAt: Instant,
    flocks: z.number().int(),
    openOrders: z.number().int(),
    revision: z.number().int(),
  })
  .meta({ id: 'Member' })

export const FlockListQuery = listQuery(['name', 'hatchedOn'], { memberId: z.uuid().optional() })
export const CreateFlockBody = z.strictObject({
  memberId: z.uuid().nullable().default(null).describe('for staff; a member always writes for themselves'),
  name: RequiredText(60),
  flockType: z.enum(FLOCK_TYPES),
  hatchedOn: PlainDate,
  birds: z.number().int().min(1, 'at least 1 bird').max(1_000_000, 'at most 1,000,000 birds'),
  laying: z.boolean().default(false),
})
export const ChangeFlockBody = z.strictObject({
  birds: z.number().int().min(1, 'at least 1 bird').max(1_000_000),
  laying: z.boolean(),
  name: RequiredText(60),
})
export const FlockView = z
  .object({
    id: z.uuid(),
    memberId: z.uuid(),
    memberName: z.string(),
    name: z.string(),
    flockType: z.enum(FLOCK_TYPES),
    hatchedOn: PlainDate,
    ageWeeks: z.number().int(),
    ageDays: z.number().int(),
    stage: z.string().nullable().describe('by age and lay today'),
    birds: z.number().int(),
    laying: z.boolean(),
    revision: z.number().int(),
  })
  .meta({ id: 'Flock' })
