import type { z } from 'zod'
import type { FlockView, MemberView } from '#contract/members'

export type Member = z.output<typeof MemberView>
export type Flock = z.output<typeof FlockView>
