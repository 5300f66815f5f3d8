import type { FastifyInstance } from 'fastify'
import pg from 'pg'
import { z } from 'zod'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { route } from '#platform/http/route'
import { query } from '#platform/query'

/** A thing to try the pipeline on: marks that are only added. Made on a test's own database; the mill has no such table. */
export const createTally = async (ownerUrl: string): Promise<void> => {
  const client = new pg.Client({ connectionString: ownerUrl })
  await client.connect()
  await client.query(`
    CREATE TABLE tally (id uuid PRIMARY KEY, mark text NOT NULL CONSTRAINT tally_mark_unique UNIQUE, kg numeric(14,3) NOT NULL,
      CONSTRAINT tally_kg_positive CHECK (kg > 0));
    GRANT SELECT, INSERT, UPDATE ON tally TO kinu_app`)
  await client.end()
}

export const onTally = async (ownerUrl: string, statement: string): Promise<pg.QueryResult<{ [column: string]: unknown }>> => {
  const client = new pg.Client({ connectionString: ownerUrl })
  await client.connect()
  return client.query<{ [column: string]: unknown }>(statement).finally(() => client.end())
}

const Mark = z.strictObject({ mark: z.string().min(1).max(40), kg: z.string().regex(/^\d{1,9}\.\d{3}$/, 'kilograms with three decimals') })
const MarkView = z.object({ id: z.uuid(), mark: z.string(), kg: z.string() })

/** How often `prepare` and `run` ran, and what the next `run` waits for. */
export const seen = { prepares: 0, runs: 0, gate: Promise.resolve() }

const addMark = command({
  roles: 'everyone',
  input: Mark,
  output: MarkView,
  status: 201,
  prepare: async (_ctx, input) => {
    seen.prepares += 1
    return input.mark.toUpperCase()
  },
  async run({ tx, newId, record }, { mark, kg }, prepared) {
    seen.runs += 1
    await seen.gate
    const id = newId()
    await tx.$executeRaw`INSERT INTO tally (id, mark, kg) VALUES (${id}::uuid, ${prepared}, ${kg}::numeric)`
    record('mark.added', 'mark', id, { mark, kg })
    return { id, mark: prepared, kg, secret: 'never sent' }
  },
})

const addSilently = command({
  roles: ['manager'],
  input: Mark,
  output: z.object({}),
  async run({ tx, newId }, { mark, kg }) {
    await tx.$executeRaw`INSERT INTO tally (id, mark, kg) VALUES (${newId()}::uuid, ${mark}, ${kg}::numeric)`
    return {}
  },
})

const changeMark = command({
  roles: ['manager'],
  params: z.object({ id: z.uuid() }),
  input: z.strictObject({ kg: Mark.shape.kg }),
  ifMatch: true,
  output: z.object({ revision: z.int() }),
  async run({ record }, { id, revision }) {
    if (revision !== 3) throw new MillError('stale-revision', { revision: 3 })
    record('mark.changed', 'mark', id)
    return { revision: revision + 1 }
  },
})

const addWrongly = command({
  roles: ['manager'],
  input: z.strictObject({}),
  output: z.object({ count: z.int() }),
  async run({ record }) {
    record('mark.added', 'mark', 'none')
    return { count: 1.5 }
  },
})

const listMarks = query({
  roles: ['manager', 'member'],
  input: z.strictObject({ page: z.coerce.number().int().min(1).default(1) }),
  output: MarkView,
  list: true,
  run: async ({ db }) => {
    const items = await db.$queryRaw<z.output<typeof MarkView>[]>`SELECT id, mark, kg::text FROM tally ORDER BY mark`
    return { items, total: items.length }
  },
})

export const tallyFeature = (app: FastifyInstance): void => {
  const facts = (operationId: string) => ({ operationId, tags: ['tally'], summary: 'For tests' })
  route(app, 'POST', '/marks', addMark, { ...facts('addMark'), problems: ['already-exists', 'wrong-state'] })
  route(app, 'POST', '/marks/silent', addSilently, facts('addSilently'))
  route(app, 'POST', '/marks/wrong', addWrongly, facts('addWrongly'))
  route(app, 'PATCH', '/marks/:id', changeMark, facts('changeMark'))
  route(app, 'GET', '/marks', listMarks, facts('listMarks'))
}
