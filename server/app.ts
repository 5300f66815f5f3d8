import compress from '@fastify/compress'
import helmet from '@fastify/helmet'
import rateLimit from '@fastify/rate-limit'
import underPressure from '@fastify/under-pressure'
import fastify, { type FastifyInstance, type FastifyRequest } from 'fastify'
import { z } from 'zod'
import { MillError } from '#core/errors'
import { accessFeature } from '#features/access/routes'
import { actorOf } from '#features/access/queries'
import { deliveryFeature } from '#features/delivery/routes'
import { formulaRoutes } from '#features/formulas/routes'
import { gateRoutes } from '#features/gate/routes'
import { ingredientRoutes } from '#features/ingredients/routes'
import { laboratoryRoutes } from '#features/laboratory/routes'
import { lotRoutes } from '#features/lots/routes'
import { memberRoutes } from '#features/members/routes'
import { orderRoutes } from '#features/orders/routes'
import { planningRoutes } from '#features/planning/routes'
import { productionFeature } from '#features/production/routes'
import { purchasingRoutes } from '#features/purchasing/routes'
import { reportsFeature } from '#features/reports/routes'
import { requirementRoutes } from '#features/requirements/routes'
import { sheetRoutes } from '#features/sheets/routes'
import { stockAgrees } from '#features/stock/integrity'
import { stockRoutes } from '#features/stock/routes'
import { supplierRoutes } from '#features/suppliers/routes'
import { tracingFeature } from '#features/tracing/routes'
import type { Deps } from '#platform/deps'
import { newId } from '#platform/new-id'
import { TIMEOUT_MS } from '#platform/database/client'
import { installConsole } from '#platform/http/console-files'
import { installErrorHandler, sendProblem } from '#platform/http/error-handler'
import { installGate } from '#platform/http/gate'
import { watchMethods } from '#platform/http/methods'
import { installOpenApi } from '#platform/http/openapi'
import { EARLY_HEADERS, SECURITY_HEADERS } from '#platform/http/security-headers'
import { parseBody } from '#platform/http/wire'
import type { IntegrityCheck } from '#platform/jobs/housekeeping'
import { installHealth, type Readiness } from '#platform/observability/health'
import { installMetrics } from '#platform/observability/metrics'
import type { Config } from './config.js'
import { VERSION, consoleFolder } from './place.js'

// The strict content security policy of the console allows no code made at run time, in the server neither.
z.config({ jitless: true })

/** A feature registers its routes on the application; everything else it needs is in `app.mill`. */
export type Feature = (app: FastifyInstance, deps: Deps) => void

/** Every feature of the mill, in the order of their graph. */
export const FEATURES: readonly Feature[] = [
  accessFeature,
  ingredientRoutes,
  supplierRoutes,
  requirementRoutes,
  stockRoutes,
  sheetRoutes,
  lotRoutes,
  purchasingRoutes,
  laboratoryRoutes,
  formulaRoutes,
  gateRoutes,
  memberRoutes,
  orderRoutes,
  planningRoutes,
  productionFeature,
  deliveryFeature,
  tracingFeature,
  reportsFeature,
]

/** What the features promise will always hold; looked at every hour. */
export const INTEGRITY_CHECKS: readonly IntegrityCheck[] = [stockAgrees]

export type AppOptions = Deps & {
  readonly config: Limits & Pick<Config, 'secureCookies' | 'trustProxy'>
  readonly sessionSecret: string
  readonly features?: readonly Feature[]
  readonly readiness?: Readiness
  /** Tests: a problem code that a route gives without declaring it becomes a fault. */
  readonly strictProblems?: boolean
}

const MEBIBYTE = 1024 * 1024

// Who asks how the process is must be told also when it is not well.
const isProbe = (request: FastifyRequest): boolean => request.url.startsWith('/health/')

// The framework's own 503 is no problem document. Who asks how the process is still gets its own answer.
const refuseWhenClosing = (app: FastifyInstance): void => {
  let closing = false
  app.addHook('preClose', async () => {
    closing = true
  })
  app.addHook('onRequest', async (request) => {
    if (closing && !isProbe(request)) throw new MillError('busy')
  })
}

type Limits = Pick<Config, 'requestsPerMinute' | 'maxEventLoopDelayMs'>

const installShields = async (app: FastifyInstance, { requestsPerMinute, maxEventLoopDelayMs }: Limits): Promise<void> => {
  await app.register(helmet, SECURITY_HEADERS)
  await app.register(compress, { global: true, threshold: 1024, encodings: ['br', 'gzip', 'identity'] })
  await app.register(underPressure, {
    maxEventLoopDelay: maxEventLoopDelayMs,
    maxHeapUsedBytes: 1_500 * MEBIBYTE,
    pressureHandler: (request) => {
      if (!isProbe(request)) throw new MillError('busy')
    },
  })
  await app.register(rateLimit, {
    global: false,
    max: requestsPerMinute,
    timeWindow: '1 minute',
    allowList: isProbe,
    errorResponseBuilder: (_request, context) => new MillError('too-many-tries', { retryAfterSeconds: Math.ceil(context.ttl / 1000) }),
  })
  // For every request and before anything else looks at it; the plug-in's own way comes after the hooks of the application.
  app.addHook('onRequest', app.rateLimit())
}

/** The application, used by main and by every test alike. */
export const buildApp = async (options: AppOptions): Promise<FastifyInstance> => {
  const {
    config,
    features = FEATURES,
    readiness = { draining: false, migration: undefined },
    sessionSecret,
    strictProblems = false,
    ...deps
  } = options
  const app: FastifyInstance = fastify({
    loggerInstance: deps.logger,
    genReqId: () => newId(),
    trustProxy: config.trustProxy,
    bodyLimit: MEBIBYTE,
    requestTimeout: TIMEOUT_MS.request,
    routerOptions: { maxParamLength: 200 },
    // Ours is a problem document, see refuseWhenClosing.
    return503OnClosing: false,
    // Addresses that cannot be read get no further than here, past all hooks, and their answers the same headers by hand.
    frameworkErrors: (error, request, reply) => {
      reply.headers({ ...EARLY_HEADERS, 'x-request-id': request.id })
      sendProblem(new MillError('bad-input', {}, [{ path: '', code: 'bad_url', message: error.message }]), request, reply)
    },
  }) as unknown as FastifyInstance
  app.decorate('mill', deps)
  app.setValidatorCompiler(() => () => true)
  app.setSerializerCompiler(() => (value) => JSON.stringify(value))
  app.removeAllContentTypeParsers()
  app.addContentTypeParser('application/json', { parseAs: 'string' }, async (_request: unknown, body: string) => parseBody(body))
  app.addHook('onSend', async (request, reply) => {
    reply.header('x-request-id', request.id)
  })
  installErrorHandler(app, { strict: strictProblems })
  refuseWhenClosing(app)
  await installShields(app, config)
  await installOpenApi(app, VERSION)
  installHealth(app, deps.sql, readiness)
  installMetrics(app, deps.sql)
  await app.register(
    async (api) => {
      await installGate(api, deps, {
        secret: sessionSecret,
        secureCookies: config.secureCookies,
        trustProxy: config.trustProxy,
        resolveActor: (userId) => actorOf(deps.sql, userId),
      })
      const answerOtherMethods = watchMethods(api)
      for (const feature of features) feature(api, deps)
      answerOtherMethods()
    },
    { prefix: '/api/v1' },
  )
  await installConsole(app, consoleFolder)
  return app
}
