import type { FastifyReply, FastifyRequest } from 'fastify'
import type { z } from 'zod'
import type { Actor, ActorOf, Policy } from './actor.js'
import type { Fields } from './command.js'
import type { Deps } from './deps.js'

export type ExchangeContext<A = Actor> = {
  readonly request: FastifyRequest
  readonly reply: FastifyReply
  readonly deps: Deps
  readonly actor: A
  readonly now: Date
}

/** An endpoint that works on the session itself. Everything that changes the mill's data is a command instead. */
export interface Exchange {
  readonly kind: 'exchange'
  readonly roles: Policy
  readonly params?: undefined
  readonly input: z.ZodObject | undefined
  readonly output: z.ZodType
  readonly status: 200 | 204
  /** Only where there is no session yet that could carry a token. */
  readonly csrf: boolean
  run(ctx: ExchangeContext<Actor | null>, input: object): Promise<unknown>
}

/** Declares an endpoint that begins, shows or ends a session. */
export const exchange = <const R extends Policy, Input extends z.ZodObject, Out extends z.ZodType>(spec: {
  readonly roles: R
  readonly input?: Input
  readonly output: Out
  readonly status?: 200 | 204
  readonly csrf?: boolean
  readonly run: (ctx: ExchangeContext<ActorOf<R>>, input: Fields<Input>) => Promise<z.output<Out>>
}): Exchange => ({
  kind: 'exchange',
  roles: spec.roles,
  input: spec.input,
  output: spec.output,
  status: spec.status ?? 200,
  csrf: spec.csrf ?? true,
  run: (ctx, input) => spec.run(ctx as ExchangeContext<ActorOf<R>>, input as Fields<Input>),
})
