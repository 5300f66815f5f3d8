import { z } from 'zod'
import { SessionView } from '#contract/access'
import { exchange } from '#platform/exchange'
import { viewOf } from './queries.js'

/** Who is signed in, and the token for what changes something. */
export const showSession = exchange({
  roles: 'everyone',
  csrf: false,
  output: SessionView,
  run: async ({ reply, actor }) => ({ user: viewOf(actor), csrfToken: reply.generateCsrf() }),
})

/** Ends the session in the table, not only in the browser. */
export const signOut = exchange({
  roles: 'everyone',
  output: z.null(),
  status: 204,
  async run({ request, reply }) {
    await request.session.destroy()
    for (const name of ['kinu', '__Host-kinu']) reply.clearCookie(name, { path: '/', secure: name.startsWith('__Host-') })
    return null
  },
})
