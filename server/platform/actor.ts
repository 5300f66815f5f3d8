import type { Role } from '#contract/access'

export type { Role }

export type Actor = {
  readonly userId: string
  readonly role: Role
  readonly memberId: string | null
  readonly name: string
  readonly language: 'en' | 'sw'
}

/** Who may use an endpoint: the named roles, everyone who is signed in, or anybody at all. */
export type Policy = readonly [Role, ...Role[]] | 'everyone' | 'public'
export type ActorOf<R extends Policy> = R extends 'public' ? Actor | null : Actor
