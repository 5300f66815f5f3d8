/** One side of a limit with `z`, in the nutrient's unit (`total` basis: in that unit times the amount). */
export type CertainLimit = {
  /** The limit's row id, under which its price and any conflict stand too. */
  readonly id: string
  readonly nutrient: string
  readonly side: 'min' | 'max'
  readonly limit: number
  readonly mean: number
  /** Standard deviation of the mix, shared errors included. */
  readonly sd: number
  readonly zAsked: number
  /** How many standard deviations the mean is inside the limit; null where the mix has no spread. */
  readonly zReached: number | null
  /** Change of the cost per unit of the row's right-hand side. */
  readonly shadowPrice: number
}
export type CertaintyReport = {
  readonly limits: readonly CertainLimit[]
  /** No mix that keeps every limit costs less. */
  readonly lowerBound: number
  /** By how much a certain limit is missed at most, as a share of the quantities it is made of; 0 when all hold. */
  readonly violation: number
  /** Linear programs solved. */
  readonly rounds: number
}

/** How an answer with whole numbers was found. */
export type SearchReport = {
  /** No answer costs less than this (or brings more, where the problem maximises). */
  readonly bound: number
  /** Whether cost and bound are within the gap asked for; false where the time ran out first. */
  readonly proven: boolean
}

type Numbers = { readonly [id: string]: number }

/** The cheapest blend, with what each limit costs. Signs and names as in `seed/reference/README.md`. */
export type OptimalFormulation = {
  readonly status: 'optimal'
  readonly objective: number
  /** By ingredient id, every ingredient, unused ones with 0. */
  readonly amounts: Numbers
  /** Ids of the limits that are met with equality. */
  readonly binding: readonly string[]
  /** Change of the objective per unit of the row's right-hand side; only those that are not zero. */
  readonly shadowPrices: Numbers
  /** Change of the objective per unit of the ingredient forced in; only those that are not zero. */
  readonly reducedCosts: Numbers
  /** The price at which an unused ingredient would enter: its cost minus its reduced cost. */
  readonly breakEvenPrices: Numbers
  readonly solver: string
  /** What was asked and reached of the limits with `z`, where the problem has any. */
  readonly certainty?: CertaintyReport | undefined
  /** Where something must be whole: prices and reduced costs are then left out, because none holds. */
  readonly search?: SearchReport | undefined
}

export type FailureReason = 'time-limit' | 'solver-error' | 'recheck' | 'unsupported' | 'unknown-content'

export type Formulation =
  | OptimalFormulation
  /** `conflict`: limits that cannot hold together, while any all but one of them can. */
  | { readonly status: 'infeasible'; readonly conflict: readonly string[] }
  | { readonly status: 'unbounded' }
  | { readonly status: 'failed'; readonly reason: FailureReason; readonly detail: string }
