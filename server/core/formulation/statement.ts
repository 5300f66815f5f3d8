import type { NamedLimits } from './program.js'
import type { Violation } from './recheck.js'

/** A problem of any kind, ready to be solved: its limits by name, and code of its own to check an answer with. */
export type Statement = {
  /** Of the variables, in their order. */
  readonly ids: readonly string[]
  /** With costs to be minimised, also where the problem maximises. */
  readonly limits: NamedLimits
  /** Limits that amounts break, worked out from the problem and not from `limits`. */
  readonly recheck: (amounts: readonly number[]) => readonly Violation[]
  /** What amounts cost in the problem's own words. */
  readonly costOf: (amounts: readonly number[]) => number
  /** -1 where the problem maximises: objective, bound and prices are told with this sign. Missing: 1. */
  readonly sign?: 1 | -1 | undefined
  /** What is added to every objective. Missing: 0. */
  readonly offset?: number | undefined
  /** Stands for the most of a chosen variable where no limit gives one. */
  readonly bigM?: number | undefined
}
