import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { MillError, type ProblemCode } from '#core/errors'
import { translateDatabaseError } from '../database/errors.js'
import { PROBLEM_TYPE, problemOf } from './problem-document.js'

// What the framework and its plugins refuse by themselves, by the status that they ask for.
const BY_STATUS: { readonly [status: number]: ProblemCode } = {
  400: 'bad-input',
  401: 'not-signed-in',
  403: 'csrf-refused',
  404: 'not-found',
  405: 'method-not-allowed',
  406: 'bad-input',
  408: 'busy',
  411: 'bad-input',
  413: 'payload-too-large',
  414: 'payload-too-large',
  415: 'unsupported-media-type',
  429: 'too-many-tries',
  503: 'busy',
}

// An address that cannot be a file of the console, because it is too long or climbs, is no forged request: nothing is there.
const NO_FILE = 'FST_STATIC_FORBIDDEN_PATH'

const asMillError = (error: FastifyError): MillError => {
  const translated = translateDatabaseError(error)
  if (translated instanceof MillError) return translated
  if (error.code === NO_FILE) return new MillError('not-found', {}, [], { cause: error })
  const code = error.statusCode === undefined ? undefined : BY_STATUS[error.statusCode]
  return new MillError(code ?? 'internal', {}, [], { cause: error })
}

// Seconds after which a repeat makes sense.
const RETRY_AFTER_S = 1

export const sendProblem = (error: MillError, request: FastifyRequest, reply: FastifyReply): FastifyReply => {
  const problem = problemOf(error, request.id)
  const wait = error.facts['retryAfterSeconds']
  if (problem.status === 503 || problem.status === 429) reply.header('retry-after', typeof wait === 'number' ? wait : RETRY_AFTER_S)
  return reply.code(problem.status).header('content-type', PROBLEM_TYPE).send(JSON.stringify(problem))
}

/** Turns whatever was thrown into a problem document. `strict` makes an undeclared code a fault of the route, for tests. */
export const installErrorHandler = (app: FastifyInstance, { strict = false }: { strict?: boolean } = {}): void => {
  app.setErrorHandler((thrown: FastifyError, request, reply) => {
    const error = asMillError(thrown)
    const declared = request.routeOptions.config.problems
    if (declared !== undefined && !declared.has(error.code)) {
      request.log.error({ err: thrown, code: error.code }, 'a route gave a problem code that it does not declare')
      if (strict) return sendProblem(new MillError('internal', { undeclaredCode: error.code, ...error.facts }), request, reply)
    }
    if (error.code === 'internal') request.log.error({ err: thrown }, 'unexpected')
    else if (error.code === 'busy') request.log.warn({ err: thrown }, 'busy')
    else request.log.info({ code: error.code, facts: error.facts }, 'refused')
    return sendProblem(error, request, reply)
  })
}
