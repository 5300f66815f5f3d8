import { existsSync } from 'node:fs'
import { join } from 'node:path'
import statics from '@fastify/static'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import { MillError } from '#core/errors'

const wantsPage = (request: FastifyRequest): boolean =>
  (request.method === 'GET' || request.method === 'HEAD') &&
  !/^\/(api|health|metrics|assets)(\/|$)/.test(request.url.split('?', 1)[0] ?? '') &&
  (request.headers.accept ?? '').includes('text/html')

const entryFor = (url: string): string => (/^\/member(\/|\?|$)/.test(url) ? 'member/index.html' : 'index.html')

// Vite puts a hash of the content into these names.
const FOREVER = 'public, max-age=31536000, immutable'

/** The built console: its files, and its pages' addresses, which only the browser knows. Everything else is not found. */
export const installConsole = async (app: FastifyInstance, folder: string): Promise<void> => {
  const built = existsSync(join(folder, 'index.html'))
  if (built) {
    await app.register(statics, {
      root: folder,
      wildcard: true,
      cacheControl: false,
      setHeaders: (reply, path) => {
        reply.header('cache-control', path.includes(`${folder}/assets/`) ? FOREVER : 'no-cache')
      },
    })
  }
  app.setNotFoundHandler((request, reply) => {
    if (built && wantsPage(request)) return reply.header('cache-control', 'no-cache').sendFile(entryFor(request.url))
    throw new MillError('not-found')
  })
}
