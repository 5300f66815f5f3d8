import { randomInt } from 'node:crypto'
import { hashPassword } from '#features/access/password'
import type { Role } from '#platform/actor'
import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'

export const PASSWORD = 'maize and sunflower'
export type UserFacts = {
  readonly role: Role
  readonly name?: string
  readonly email?: string
  readonly language?: 'en' | 'sw'
  readonly disabled?: boolean
}
export type TestUser = {
  readonly id: string
  readonly login: string
  readonly phone: string
  readonly name: string
  readonly role: Role
  readonly memberId: string | null
}

let hash: Promise<string> | undefined

const createMember = async (db: Db, name: string, phone: string): Promise<string> => {
  const { id } = await db.member.create({ data: { id: newId(), name, phone, joinedAt: new Date() } })
  return id
}

/** A user who can sign in with PASSWORD, by e-mail or phone; a member gets a member row too. */
export const createUser = async (
  db: Db,
  { role, name = `Test ${role}`, email, language = 'en', disabled = false }: UserFacts,
): Promise<TestUser> => {
  hash ??= hashPassword(PASSWORD)
  const id = newId()
  const phone = `+2547${String(randomInt(100_000_000)).padStart(8, '0')}`
  const login = email ?? `${role}-${id.slice(-8)}@test.example`
  const memberId = role === 'member' ? await createMember(db, name, phone) : null
  await db.appUser.create({
    data: {
      id,
      email: login,
      phone,
      name,
      role,
      language,
      memberId,
      passwordHash: await hash,
      createdAt: new Date(),
      disabledAt: disabled ? new Date() : null,
    },
  })
  return { id, login, phone, name, role, memberId }
}
