import type { FastifyInstance, HTTPMethods } from 'fastify'
import { MillError } from '#core/errors'

const METHODS = ['GET', 'POST', 'PUT', 'PATCH', 'DELETE'] as const

/** Notes the methods of every path, and answers the others of that path with 405 instead of 404 once `close` is called. */
export const watchMethods = (app: FastifyInstance): (() => void) => {
  const taken = new Map<string, Set<string>>()
  let closing = false
  app.addHook('onRoute', (route) => {
    if (closing) return
    const methods = taken.get(route.routePath) ?? new Set<string>()
    for (const method of [route.method].flat()) methods.add(method)
    taken.set(route.routePath, methods)
  })
  return () => {
    closing = true
    for (const [url, methods] of taken) {
      const others = METHODS.filter((method) => !methods.has(method))
      if (others.length === 0) continue
      const allow = [...methods].join(', ')
      app.route({
        method: others as unknown as HTTPMethods[],
        url,
        exposeHeadRoute: false,
        schema: { hide: true } as object,
        config: { policy: 'public' },
        handler: async (_request, reply) => {
          reply.header('allow', allow)
          throw new MillError('method-not-allowed', { allow })
        },
      })
    }
  }
}
