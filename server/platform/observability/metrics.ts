import type { FastifyInstance } from 'fastify'
import type pg from 'pg'
import client from 'prom-client'

const SECONDS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10]

const watchPool = (registry: client.Registry, pool: pg.Pool): void => {
  const gauge = (name: string, help: string, value: () => number): void => {
    new client.Gauge({
      name,
      help,
      registers: [registry],
      collect() {
        this.set(value())
      },
    })
  }
  gauge('kinu_database_connections', 'Connections to PostgreSQL', () => pool.totalCount)
  gauge('kinu_database_connections_idle', 'Connections to PostgreSQL that do nothing', () => pool.idleCount)
  gauge('kinu_database_waiting', 'Requests that wait for a connection', () => pool.waitingCount)
}

/** Durations by route, event loop and memory, and the pool's waits, at /metrics. One registry an application: tests make many. */
export const installMetrics = (app: FastifyInstance, pool: pg.Pool): void => {
  const registry = new client.Registry()
  client.collectDefaultMetrics({ register: registry })
  watchPool(registry, pool)
  const durations = new client.Histogram({
    name: 'http_request_duration_seconds',
    help: 'Time to answer, by route',
    labelNames: ['method', 'route', 'status'],
    buckets: SECONDS,
    registers: [registry],
  })
  app.addHook('onResponse', async (request, reply) => {
    const labels = { method: request.method, route: request.routeOptions.url ?? 'none', status: String(reply.statusCode) }
    durations.observe(labels, reply.elapsedTime / 1000)
  })
  app.get('/metrics', { schema: { hide: true }, logLevel: 'warn' }, async (_request, reply) =>
    reply.header('content-type', registry.contentType).send(await registry.metrics()),
  )
}
