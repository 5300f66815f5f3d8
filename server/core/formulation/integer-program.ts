import { chosenIndices, type Choice } from './integer-choice.js'
import type { IntegerProgram, LinearRow, LinearVariable } from './linear-program.js'
import { programOf, type NamedLimits } from './program.js'

/** An ingredient that no `minIfUsed` and no increment says how much of it counts as used: this share of the most that can be used. */
export const USED_SHARE = 1e-6

/** The most of each variable that can be used, by position; needed only for those that are chosen. */
export type MostOf = (index: number) => number

/** The least amount at which a variable counts as used. */
export function leastUsed(choices: readonly Choice[], index: number, mostOf: MostOf): number {
  const named = choices.flatMap((choice) => {
    if ((choice.kind !== 'minIfUsed' && choice.kind !== 'multiple') || choice.index !== index) return []
    return [choice.kind === 'minIfUsed' ? choice.least : choice.step]
  })
  return named.length > 0 ? Math.max(...named) : USED_SHARE * mostOf(index)
}

type Building = { readonly variables: LinearVariable[]; readonly integer: boolean[]; readonly rows: LinearRow[] }
type Term = readonly [column: number, coefficient: number]

function addRow(to: Building, lower: number | null, upper: number | null, terms: readonly Term[]): void {
  const sums = new Map<number, number>()
  for (const [column, coefficient] of terms) sums.set(column, (sums.get(column) ?? 0) + coefficient)
  const sorted = [...sums].sort(([a], [b]) => a - b)
  to.rows.push({ name: `r${to.rows.length}`, lower, upper, columns: sorted.map(([c]) => c), coefficients: sorted.map(([, v]) => v) })
}

function addWhole(to: Building, lower: number | null, upper: number | null): number {
  to.variables.push({ name: `x${to.variables.length}`, cost: 0, lower, upper })
  to.integer.push(true)
  return to.variables.length - 1
}

/**
 * How many steps fit within the bounds of an amount. A bound between two whole numbers is no bound that a search can stand on: GLPK and HiGHS
 * take 1e-5 for whole, and with a most of 1e-4 they gave that for an answer.
 */
const wholeWithin = ({ lower, upper }: Pick<LinearVariable, 'lower' | 'upper'>, step: number) => ({
  // a zero that came from below is told as plain zero
  lower: lower === null ? null : Math.ceil(lower / step - 1e-9) + 0,
  upper: upper === null ? null : Math.floor(upper / step + 1e-9),
})

/** A variable that is used or not: above zero only where its switch is 1, and then at least its least used amount. */
function addSwitch(to: Building, choices: readonly Choice[], index: number, mostOf: MostOf): number {
  const flag = addWhole(to, 0, 1)
  addRow(to, null, 0, [
    [index, 1],
    [flag, -mostOf(index)],
  ])
  addRow(to, 0, null, [
    [index, 1],
    [flag, -leastUsed(choices, index, mostOf)],
  ])
  return flag
}

function addChoice(to: Building, choice: Choice, flagOf: (index: number) => number): void {
  switch (choice.kind) {
    case 'multiple': {
      const variable = to.variables[choice.index] ?? { name: '', cost: 0, lower: 0, upper: null }
      const { lower, upper } = wholeWithin(variable, choice.step)
      if (choice.step === 1) {
        to.integer[choice.index] = true
        to.variables[choice.index] = { ...variable, lower, upper }
      } else {
        const whole = addWhole(to, lower, upper)
        addRow(to, 0, 0, [
          [choice.index, 1],
          [whole, -choice.step],
        ])
      }
      return
    }
    case 'minIfUsed':
      return
    case 'count':
      addRow(
        to,
        choice.min > 0 ? choice.min : null,
        choice.max,
        choice.indices.map((index) => [flagOf(index), 1] as const),
      )
      return
    case 'implies':
      addRow(to, null, 0, [
        [flagOf(choice.index), 1],
        [flagOf(choice.then), -1],
      ])
  }
}

/**
 * The program with whole numbers of limits with choices. Its first variables are those of the limits; switches (used or not) and counts of
 * increments follow. `mostOf` gives the largest amount of a chosen variable, so that no switch is tied by a blind large number.
 */
export function integerProgramOf(
  limits: NamedLimits,
  mostOf: MostOf,
  options: { readonly cost: boolean } = { cost: true },
): IntegerProgram {
  const relaxed = programOf(limits, options)
  const choices = limits.choices ?? []
  const to: Building = { variables: [...relaxed.variables], integer: relaxed.variables.map(() => false), rows: [...relaxed.rows] }
  const flags = new Map(chosenIndices(choices).map((index) => [index, addSwitch(to, choices, index, mostOf)]))
  for (const choice of choices) addChoice(to, choice, (index) => flags.get(index) ?? -1)
  return to
}
