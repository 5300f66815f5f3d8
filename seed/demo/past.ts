import { DateTime } from 'luxon'
import type { Actor } from '#platform/actor'
import type { Command } from '#platform/command'
import type { Deps } from '#platform/deps'
import { execute } from '#platform/execute'

export const DEMO_TIME_ZONE = 'Africa/Nairobi'

/** Something that a person of the demo did, at its time. */
export type Deed = { readonly at: Date; readonly run: (past: Past) => Promise<void> }

/** The mill at one moment of its past: commands run through the same pipeline as everybody's, by the clock of that moment. */
export class Past {
  constructor(
    private readonly deps: Deps,
    readonly at: Date,
    private readonly people: ReadonlyMap<string, Actor>,
  ) {}

  get db(): Deps['db'] {
    return this.deps.db
  }

  async do<In extends object, Out>(who: string, command: Command<In, Out>, input: In): Promise<Out> {
    const actor = this.people.get(who)
    if (actor === undefined) throw new Error(`Nobody in the demo is called ${who}`)
    const { value } = await execute({ ...this.deps, clock: () => this.at }, command, { actor, input })
    if (value === undefined) throw new Error('A deed of the demo was answered from memory')
    return value
  }
}

/** Moments counted back from the day the demo is loaded; never later than that moment, so that the past stays past. */
export const momentsBefore = (loadedAt: Date) => {
  const today = DateTime.fromJSDate(loadedAt, { zone: DEMO_TIME_ZONE }).startOf('day')
  return (daysAgo: number, hour: number, minute = 0): Date => {
    const moment = today.minus({ days: daysAgo }).set({ hour, minute }).toJSDate()
    return moment.getTime() < loadedAt.getTime() ? moment : new Date(loadedAt.getTime() - 60_000)
  }
}
export type MomentBefore = ReturnType<typeof momentsBefore>

/** In order of time; deeds of one moment in the order in which they were told. */
export const inOrder = (deeds: readonly Deed[]): Deed[] => [...deeds].sort((a, b) => a.at.getTime() - b.at.getTime())

/** A small generator of its own, so that the demo is the same every time (Park and Miller 1988: a = 48271, m = 2^31 - 1). */
export const dice = (seed: number) => {
  let state = seed
  return (): number => {
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
}
