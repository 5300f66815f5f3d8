import type { z } from 'zod'
import type { Actor, ActorOf, Policy } from './actor.js'
import type { Fields, NoFields } from './command.js'
import type { Db } from './database/client.js'
import type { SolverPool } from './deps.js'

export type QueryContext<A = Actor> = { readonly db: Db; readonly actor: A; readonly now: Date; readonly pool: SolverPool }
export type Page<Row> = { readonly items: readonly Row[]; readonly total: number }
export type DocumentFile = { readonly fileName: string; readonly bytes: Uint8Array }
type Answer<Out extends z.ZodType, L> = L extends true ? Page<z.output<Out>> : z.output<Out>

/** A declared read, its types forgotten. */
export interface Query {
  readonly kind: 'query'
  readonly roles: Policy
  readonly params: z.ZodObject | undefined
  readonly input: z.ZodObject | undefined
  readonly output: z.ZodType
  readonly list: boolean
  run(ctx: QueryContext<Actor | null>, input: object): Promise<unknown>
}

/** A declared printed page. */
export interface Document {
  readonly kind: 'document'
  readonly roles: Policy
  readonly params: z.ZodObject | undefined
  readonly input: z.ZodObject | undefined
  readonly contentType: string
  run(ctx: QueryContext<Actor | null>, input: object): Promise<DocumentFile>
}

/**
 * Declares a read. `input` is the query string. With `list: true`, `output` is the schema of one row, `run` gives `{ items, total }`,
 * and the answer is the array with the total in `X-Total-Count`.
 */
export const query = <
  const R extends Policy,
  Out extends z.ZodType,
  Params extends z.ZodObject = NoFields,
  Input extends z.ZodObject = NoFields,
  L extends true | undefined = undefined,
>(spec: {
  readonly roles: R
  readonly params?: Params
  readonly input?: Input
  readonly output: Out
  readonly list?: L
  readonly run: (ctx: QueryContext<ActorOf<R>>, input: Fields<Params> & Fields<Input>) => Promise<Answer<Out, L>>
}): Query => ({
  kind: 'query',
  roles: spec.roles,
  params: spec.params,
  input: spec.input,
  output: spec.output,
  list: spec.list === true,
  run: (ctx, input) => spec.run(ctx as QueryContext<ActorOf<R>>, input as Fields<Params> & Fields<Input>),
})

/** Declares a file to download, a PDF for example. */
export const document = <const R extends Policy, Params extends z.ZodObject = NoFields, Input extends z.ZodObject = NoFields>(spec: {
  readonly roles: R
  readonly params?: Params
  readonly input?: Input
  readonly contentType: string
  readonly run: (ctx: QueryContext<ActorOf<R>>, input: Fields<Params> & Fields<Input>) => Promise<DocumentFile>
}): Document => ({
  kind: 'document',
  roles: spec.roles,
  params: spec.params,
  input: spec.input,
  contentType: spec.contentType,
  run: (ctx, input) => spec.run(ctx as QueryContext<ActorOf<R>>, input as Fields<Params> & Fields<Input>),
})
