import type { FastifyInstance } from 'fastify'
import { route } from '#platform/http/route'
import { changeLanguage } from './change-language.js'
import { showSession, signOut } from './session.js'
import { signIn } from './sign-in.js'

export const accessFeature = (app: FastifyInstance): void => {
  route(app, 'POST', '/session', signIn, {
    operationId: 'signIn',
    tags: ['access'],
    summary: 'Sign in by e-mail or phone',
    problems: ['wrong-login'],
  })
  route(app, 'GET', '/session', showSession, { operationId: 'showSession', tags: ['access'], summary: 'Who is signed in' })
  route(app, 'DELETE', '/session', signOut, { operationId: 'signOut', tags: ['access'], summary: 'Sign out' })
  route(app, 'PATCH', '/session', changeLanguage, {
    operationId: 'changeLanguage',
    tags: ['access'],
    summary: 'Change the language of one’s own screens',
  })
}
