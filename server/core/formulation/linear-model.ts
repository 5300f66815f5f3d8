import type { NamedBound, NamedLimits } from './program.js'
import { RECHECK_ABSOLUTE, RECHECK_RELATIVE, type Violation } from './recheck.js'
import type { Statement } from './statement.js'

/** `C` continuous, `I` whole, `B` 0 or 1. A side that is missing is 0 below and none above; `null` is none. */
export type ModelVariable = {
  readonly id: string
  readonly cost: number
  readonly lo?: number | null | undefined
  readonly hi?: number | null | undefined
  readonly type?: 'C' | 'I' | 'B' | undefined
}
export type ModelRow = {
  readonly id: string
  readonly coefs: { readonly [variable: string]: number }
  readonly lo?: number | null | undefined
  readonly hi?: number | null | undefined
}

/** A linear model of anything (kind `lp`): the objective is `offset` plus the sum of cost times variable. */
export type LinearModel = {
  readonly sense?: 'min' | 'max' | undefined
  readonly offset?: number | undefined
  readonly vars: readonly ModelVariable[]
  readonly rows: readonly ModelRow[]
}

const isWhole = ({ type }: ModelVariable): boolean => type === 'I' || type === 'B'

type Range = { readonly lo: number | null; readonly hi: number | null }

function rangeOf({ lo, hi, type }: ModelVariable): Range {
  const low = lo === undefined ? 0 : lo
  const high = hi ?? null
  return type === 'B' ? { lo: Math.max(0, low ?? 0), hi: Math.min(1, high ?? 1) } : { lo: low, hi: high }
}

/** Zero below is no limit that anybody set; everything else is, and is named. */
function boundsAt(variable: ModelVariable, index: number): NamedBound[] {
  const { lo, hi } = rangeOf(variable)
  return [
    ...(lo === null || lo === 0 ? [] : [{ id: `ingredient:${variable.id}:min`, index, side: 'min' as const, value: lo }]),
    ...(hi === null ? [] : [{ id: `ingredient:${variable.id}:max`, index, side: 'max' as const, value: hi }]),
  ]
}

/**
 * The id of a row: its own, with a backslash before one that begins as the ids of bounds and whole numbers do, or with a backslash, so that no
 * two limits of a model have one id.
 */
const rowId = ({ id }: ModelRow): string => (/^(\\|ingredient:|integer:)/.test(id) ? `\\${id}` : id)

/** Bounds are named as in kind `formula`. A model that maximises is stated as one that minimises. */
export function limitsOfModel(model: LinearModel): NamedLimits {
  const positions = new Map(model.vars.map(({ id }, index) => [id, index]))
  const dense = (coefs: ModelRow['coefs']): readonly number[] => {
    const values = model.vars.map(() => 0)
    for (const [id, value] of Object.entries(coefs)) values[positions.get(id) ?? -1] = value
    return values
  }
  const sign = model.sense === 'max' ? -1 : 1
  return {
    costs: model.vars.map(({ cost }) => sign * cost),
    rows: model.rows.map((row) => ({ id: rowId(row), lower: row.lo ?? null, upper: row.hi ?? null, dense: dense(row.coefs) })),
    bounds: model.vars.flatMap(boundsAt),
    floors: model.vars.map((variable) => (rangeOf(variable).lo === 0 ? 0 : null)),
    choices: model.vars.flatMap((variable, index) =>
      isWhole(variable) ? [{ kind: 'multiple' as const, id: `integer:${variable.id}`, index, step: 1 }] : [],
    ),
  }
}

function missed(id: string, value: number, size: number, { lo, hi }: Range): Violation[] {
  const by = Math.max((lo ?? -Infinity) - value, value - (hi ?? Infinity))
  const whole = Math.max(size, lo === null ? 0 : Math.abs(lo), hi === null ? 0 : Math.abs(hi))
  return by <= RECHECK_RELATIVE * whole + RECHECK_ABSOLUTE ? [] : [{ id, by }]
}

/**
 * Every row, bound and whole number of the model that values (one a variable, in order) break. Rows are judged with whole numbers truly whole:
 * a switch that a search left on by a billionth opens a row by a billionth of its coefficient, which may be any size.
 */
export function recheckModel(model: LinearModel, values: readonly number[]): Violation[] {
  const byId = new Map(model.vars.map(({ id }, index) => [id, values[index] ?? Number.NaN]))
  const inRows = new Map(
    model.vars.map((variable) => {
      const value = byId.get(variable.id) ?? Number.NaN
      return [variable.id, isWhole(variable) ? Math.round(value) : value]
    }),
  )
  const ofRows = model.rows.flatMap((row) => {
    const { coefs, lo, hi } = row
    const terms = Object.entries(coefs).map(([variable, value]) => value * (inRows.get(variable) ?? Number.NaN))
    const sum = terms.reduce((total, term) => total + term, 0)
    const size = terms.reduce((total, term) => total + Math.abs(term), 0)
    return missed(rowId(row), sum, size, { lo: lo ?? null, hi: hi ?? null })
  })
  const ofVars = model.vars.flatMap((variable) => {
    const value = byId.get(variable.id) ?? Number.NaN
    const off = Math.abs(value - Math.round(value))
    return [
      ...missed(`ingredient:${variable.id}`, value, Math.abs(value), rangeOf(variable)),
      ...(isWhole(variable) && !(off <= RECHECK_RELATIVE * Math.max(1, Math.abs(value)))
        ? [{ id: `integer:${variable.id}`, by: off }]
        : []),
    ]
  })
  return [...ofRows, ...ofVars]
}

/** A linear model, ready to be solved. */
export const statementOfModel = (model: LinearModel): Statement => ({
  ids: model.vars.map(({ id }) => id),
  limits: limitsOfModel(model),
  recheck: (values) => recheckModel(model, values),
  costOf: (values) => model.vars.reduce((sum, { cost }, i) => sum + cost * (values[i] ?? Number.NaN), model.offset ?? 0),
  sign: model.sense === 'max' ? -1 : 1,
  offset: model.offset ?? 0,
})
