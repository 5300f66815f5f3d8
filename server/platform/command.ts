import type { z } from 'zod'
import type { Facts } from '#core/errors'
import type { Actor, ActorOf, Policy } from './actor.js'
import type { Db, Tx } from './database/client.js'
import type { SolverPool } from './deps.js'

export type NoFields = z.ZodObject<{}>
/** What a schema gives; one without fields gives nothing, and must not forbid those of the other. */
export type Fields<S extends z.ZodObject> = keyof S['shape'] extends never ? unknown : z.output<S>
type Revision<M> = M extends true ? { readonly revision: number } : unknown
/** What `run` gets: the fields of the path and of the body together, and the revision of If-Match. */
export type CommandInput<Params extends z.ZodObject, Body extends z.ZodObject, M> = Fields<Params> & Fields<Body> & Revision<M>

/** `formula.approved`, what kind of thing it happened to, which one, and the facts that matter later. */
export type Record = (action: string, entityType: string, entityId: string, facts?: Facts) => void
export type Enqueue = (task: string, payload: Facts, options?: { readonly jobKey?: string; readonly runAt?: Date }) => Promise<void>

export type PrepareContext<A = Actor> = {
  readonly db: Db
  readonly actor: A
  readonly now: Date
  readonly pool: SolverPool
  readonly newId: () => string
}
export type CommandContext<A = Actor> = {
  readonly tx: Tx
  readonly actor: A
  /** The database's time at the start of the transaction. */
  readonly now: Date
  readonly newId: () => string
  readonly record: Record
  readonly enqueue: Enqueue
}

type Isolation = 'read-committed' | 'serializable'

type CommandSpec<R extends Policy, Params extends z.ZodObject, Body extends z.ZodObject, M, Out extends z.ZodType, P> = {
  readonly roles: R
  readonly params?: Params
  /** The body; a strict object. */
  readonly input: Body
  /** Requires If-Match and adds `revision` to the input; `run` throws `stale-revision` when it is not the row's. */
  readonly ifMatch?: M
  readonly output: Out
  readonly status?: 200 | 201
  /** Rules over several rows that no guarded update can hold need `serializable`; everything else is `read-committed`. */
  readonly isolation?: Isolation
  /** For what writes thousands of rows, or must not be lost because the machine is slow just then. */
  readonly long?: true
  /** Outside any transaction: reads, the solver pool, hashing of passwords. Runs again when a conflict makes the whole run again. */
  readonly prepare?: (ctx: PrepareContext<ActorOf<R>>, input: CommandInput<Params, Body, M>) => Promise<P>
  readonly run: (ctx: CommandContext<ActorOf<R>>, input: CommandInput<Params, Body, M>, prepared: P) => Promise<z.output<Out>>
}

/** A declared write, its types forgotten: what `route` and `execute` work with. Methods, so that every command is one. */
export interface Command<In extends object = object, Out = unknown> {
  readonly kind: 'command'
  readonly roles: Policy
  readonly params: z.ZodObject | undefined
  readonly input: z.ZodObject
  readonly ifMatch: boolean
  readonly output: z.ZodType<Out>
  readonly status: 200 | 201
  readonly isolation: Isolation
  readonly long: boolean
  prepare(ctx: PrepareContext<Actor | null>, input: In): Promise<unknown>
  run(ctx: CommandContext<Actor | null>, input: In, prepared: unknown): Promise<Out>
}

/** Declares a write. The pipeline in `execute.ts` gives it its transaction, its idempotency and its audit row. */
export const command = <
  const R extends Policy,
  Body extends z.ZodObject,
  Out extends z.ZodType,
  Params extends z.ZodObject = NoFields,
  M extends true | undefined = undefined,
  P = undefined,
>(
  spec: CommandSpec<R, Params, Body, M, Out, P>,
): Command<CommandInput<Params, Body, M> & object, z.output<Out>> => ({
  kind: 'command',
  roles: spec.roles,
  params: spec.params,
  input: spec.input,
  ifMatch: spec.ifMatch === true,
  output: spec.output as unknown as z.ZodType<z.output<Out>>,
  status: spec.status ?? 200,
  isolation: spec.isolation ?? 'read-committed',
  long: spec.long === true,
  prepare: async (ctx, input) => spec.prepare?.(ctx as PrepareContext<ActorOf<R>>, input),
  run: (ctx, input, prepared) => spec.run(ctx as CommandContext<ActorOf<R>>, input, prepared as P),
})
