import cookie from '@fastify/cookie'
import csrf from '@fastify/csrf-protection'
import session from '@fastify/session'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import { MillError } from '#core/errors'
import type { Actor, Policy } from '../actor.js'
import type { Deps } from '../deps.js'
import { SESSION_MS, SessionStore } from './session-store.js'

declare module 'fastify' {
  interface Session {
    userId?: string
  }
}

export type ResolveActor = (userId: string) => Promise<Actor | null>
export type GateOptions = {
  readonly secret: string
  readonly secureCookies: boolean
  readonly trustProxy: boolean
  readonly resolveActor: ResolveActor
}

const mayEnter = (policy: Policy, actor: Actor | null): void => {
  if (policy === 'public') return
  if (actor === null) throw new MillError('not-signed-in')
  if (policy !== 'everyone' && !policy.includes(actor.role)) throw new MillError('not-allowed', { role: actor.role })
}

// Browsers say where a request comes from. Another site's page has no business here, signed in or not.
const refuseOtherSites = (request: FastifyRequest): void => {
  const site = request.headers['sec-fetch-site']
  if (site === 'cross-site' || site === 'same-site') throw new MillError('csrf-refused', { site })
}

const SAFE_METHODS: ReadonlySet<string> = new Set(['GET', 'HEAD', 'OPTIONS'])

// `auto` asks the proxy whether the browser came by TLS, and makes SameSite lax where it did not.
const secureBy = ({ secureCookies, trustProxy }: GateOptions): boolean | 'auto' => (secureCookies ? true : trustProxy ? 'auto' : false)

const installSession = async (app: FastifyInstance, deps: Deps, options: GateOptions): Promise<void> => {
  await app.register(cookie)
  await app.register(session, {
    secret: options.secret,
    store: new SessionStore(deps.sql),
    // The prefix makes browsers insist on Secure, on Path=/ and on no Domain; it needs TLS in front.
    cookieName: options.secureCookies ? '__Host-kinu' : 'kinu',
    cookie: { path: '/', httpOnly: true, sameSite: 'strict', secure: secureBy(options), maxAge: SESSION_MS },
    saveUninitialized: false,
    rolling: false,
  })
  const firstOf = (header: string | string[] | undefined): string => (Array.isArray(header) ? header[0] : header) ?? ''
  await app.register(csrf, {
    sessionPlugin: '@fastify/session',
    getToken: (request) => firstOf(request.headers['x-csrf-token']),
    logLevel: 'debug',
  })
}

/**
 * Who may pass: session, actor, policy of the route, token against forged requests, in this order and before a body is read.
 * A route without a policy fails the start.
 */
export const installGate = async (app: FastifyInstance, deps: Deps, options: GateOptions): Promise<void> => {
  app.addHook('onRoute', (route) => {
    if (route.config?.policy === undefined) throw new Error(`The route ${String(route.method)} ${route.url} declares no roles`)
  })
  await installSession(app, deps, options)
  app.decorateRequest('actor', null)
  app.addHook('onRequest', async (request, reply) => {
    reply.header('cache-control', 'no-store')
    const { policy } = request.routeOptions.config
    if (policy === undefined) return
    const { userId } = request.session
    request.actor = userId === undefined ? null : await options.resolveActor(userId)
    mayEnter(policy, request.actor)
    if (!SAFE_METHODS.has(request.method)) refuseOtherSites(request)
  })
  app.addHook('onRequest', (request, reply, done) => {
    if (request.routeOptions.config.csrf === true) app.csrfProtection(request, reply, done)
    else done()
  })
}
