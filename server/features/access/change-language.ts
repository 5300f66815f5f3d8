import { ChangeLanguageBody, SessionUser } from '#contract/access'
import { command } from '#platform/command'
import { viewOf } from './queries.js'

export const changeLanguage = command({
  roles: 'everyone',
  input: ChangeLanguageBody,
  output: SessionUser,
  async run({ tx, actor, record }, { language }) {
    await tx.appUser.update({ where: { id: actor.userId }, data: { language, revision: { increment: 1 } } })
    record('user.language-changed', 'user', actor.userId, { from: actor.language, to: language })
    return viewOf({ ...actor, language })
  },
})
