import { z } from 'zod'

/** What people may be at the mill. `counter-clerk` orders and hands over for members; `member` sees only their own. */
export const ROLES = ['manager', 'nutritionist', 'store-keeper', 'laboratory', 'mixer-operator', 'counter-clerk', 'member'] as const
export const RoleName = z.enum(ROLES)
export type Role = z.infer<typeof RoleName>

export const LANGUAGES = ['en', 'sw'] as const
export const Language = z.enum(LANGUAGES)

export const SignInBody = z.strictObject({
  login: z.string().trim().min(3, 'an e-mail address or a phone number').max(200),
  password: z.string().min(1, 'the password or the PIN').max(200),
})
export type SignInBody = z.infer<typeof SignInBody>

export const SessionUser = z
  .object({
    id: z.uuid(),
    name: z.string(),
    role: RoleName,
    memberId: z.uuid().nullable(),
    language: Language,
  })
  .meta({ id: 'SessionUser' })
export type SessionUser = z.infer<typeof SessionUser>

/** `csrfToken` goes back in the header `x-csrf-token` of everything that changes something. */
export const SessionView = z.object({ user: SessionUser, csrfToken: z.string() }).meta({ id: 'Session' })
export type SessionView = z.infer<typeof SessionView>

export const ChangeLanguageBody = z.strictObject({ language: Language })
