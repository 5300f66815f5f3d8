import type { Basis } from './linear-program.js'
import type { DenseForm } from './simplex-form.js'

/** What is smaller beside entries of about one is rounding noise. */
const NOISE = 1e-12
/** How far rounding may carry a reduced cost to the wrong side. */
const SHIFT = 1e-9

/**
 * A simplex dictionary: every basic variable as a combination of the nonbasic ones. A row's activity is a variable too, so at the start all
 * rows are basic and the dictionary is the matrix itself.
 */
export class Dictionary {
  readonly form: DenseForm
  readonly cells: Float64Array
  /** What a unit more of each nonbasic variable costs. */
  readonly reduced: Float64Array
  readonly basic: Int32Array
  readonly nonbasic: Int32Array
  /** Where each nonbasic variable stands. */
  readonly at: Float64Array
  readonly values: Float64Array

  constructor(form: DenseForm) {
    this.form = form
    this.cells = form.cells.slice()
    this.reduced = form.cost.slice()
    this.basic = Int32Array.from({ length: form.rows }, (_, i) => form.columns + i)
    this.nonbasic = Int32Array.from({ length: form.columns }, (_, j) => j)
    this.at = new Float64Array(form.columns)
    this.values = new Float64Array(form.rows)
  }

  lowerOf(variable: number): number {
    return this.form.lower[variable] ?? Number.NEGATIVE_INFINITY
  }

  upperOf(variable: number): number {
    return this.form.upper[variable] ?? Number.POSITIVE_INFINITY
  }

  cell(row: number, place: number): number {
    return this.cells[row * this.form.columns + place] ?? 0
  }

  /** The basic variable of a row and the nonbasic one of a place change roles. */
  pivot(row: number, place: number): void {
    const { cells, reduced, form } = this
    const n = form.columns
    const own = row * n
    const pivot = cells[own + place] ?? 0
    for (let j = 0; j < n; j += 1) cells[own + j] = -(cells[own + j] ?? 0) / pivot
    cells[own + place] = 1 / pivot
    for (let i = 0; i < form.rows; i += 1) {
      const other = i * n
      const factor = i === row ? 0 : (cells[other + place] ?? 0)
      if (factor === 0) continue
      cells[other + place] = 0
      for (let j = 0; j < n; j += 1) cells[other + j] = (cells[other + j] ?? 0) + factor * (cells[own + j] ?? 0)
    }
    const factor = reduced[place] ?? 0
    reduced[place] = 0
    if (factor !== 0) for (let j = 0; j < n; j += 1) reduced[j] = (reduced[j] ?? 0) + factor * (cells[own + j] ?? 0)
    const leaving = this.basic[row] ?? 0
    this.basic[row] = this.nonbasic[place] ?? 0
    this.nonbasic[place] = leaving
  }

  /** Works out the basic variables from where the nonbasic ones stand. */
  revalue(): void {
    const { cells, at, values, form } = this
    for (let i = 0; i < form.rows; i += 1) {
      let sum = 0
      const own = i * form.columns
      for (let j = 0; j < form.columns; j += 1) sum += (cells[own + j] ?? 0) * (at[j] ?? 0)
      values[i] = sum
    }
  }

  /** A nonbasic variable moves to another place, and the basic ones with it. */
  moveTo(place: number, at: number): void {
    const { cells, values, form } = this
    const by = at - (this.at[place] ?? 0)
    for (let i = 0; i < form.rows; i += 1) values[i] = (values[i] ?? 0) + by * (cells[i * form.columns + place] ?? 0)
    this.at[place] = at
  }

  /** The basic variable of a row leaves to one of its bounds: the nonbasic one of a place moves as far as that takes, and takes its role. */
  exchange(row: number, place: number, bound: number): void {
    const by = (bound - (this.values[row] ?? 0)) / this.cell(row, place)
    this.moveTo(place, (this.at[place] ?? 0) + by)
    this.values[row] = this.at[place] ?? 0
    this.pivot(row, place)
    this.at[place] = bound
  }

  /**
   * Stands every nonbasic variable at the bound that its reduced cost pulls it to; a free choice keeps to `preferUpper`. False where it pulls
   * to a side without a bound, so that no dual simplex can begin here.
   */
  stand(preferUpper: ReadonlySet<number> = new Set()): boolean {
    for (let j = 0; j < this.form.columns; j += 1) {
      const variable = this.nonbasic[j] ?? 0
      const [lower, upper] = [this.lowerOf(variable), this.upperOf(variable)]
      const cost = this.reduced[j] ?? 0
      if (lower === upper) this.at[j] = lower
      else if (Math.abs(cost) <= NOISE) {
        const wished = preferUpper.has(variable) ? upper : lower
        this.at[j] = Number.isFinite(wished) ? wished : Number.isFinite(lower) ? lower : Number.isFinite(upper) ? upper : 0
      } else {
        const bound = cost > 0 ? lower : upper
        if (!Number.isFinite(bound)) return false
        this.at[j] = bound
      }
    }
    return true
  }

  /** Puts reduced costs that rounding has carried over zero back on it. False where one is further off than rounding. */
  keepPrices(): boolean {
    for (let j = 0; j < this.form.columns; j += 1) {
      const cost = this.reduced[j] ?? 0
      if (cost === 0) continue
      const variable = this.nonbasic[j] ?? 0
      const at = this.at[j] ?? 0
      const [lower, upper] = [this.lowerOf(variable), this.upperOf(variable)]
      if (lower === upper || (cost > 0 ? at === lower : at === upper)) continue
      if (Math.abs(cost) > SHIFT) return false
      this.reduced[j] = 0
    }
    return true
  }

  /**
   * By which weights of the rows the basic variable of a row falls short of a limit (`upwards`: its lower one), whatever the nonbasic ones are:
   * its own row's by one, where it is a row, and minus what each nonbasic row weighs in it.
   */
  weights(row: number, upwards: boolean): Float64Array {
    const { rows, columns } = this.form
    const sign = upwards ? 1 : -1
    const weights = new Float64Array(rows)
    const own = (this.basic[row] ?? 0) - columns
    if (own >= 0) weights[own] = sign
    for (let j = 0; j < columns; j += 1) {
      const other = (this.nonbasic[j] ?? 0) - columns
      const cell = this.cell(row, j)
      if (other >= 0 && Math.abs(cell) > NOISE) weights[other] = -sign * cell
    }
    return weights
  }

  /** Brings the dictionary of a fresh form to a basis. False where its rows do not determine its columns. */
  enter({ basic, met }: Basis): boolean {
    const rows = new Set(met)
    for (const column of basic) {
      let best = -1
      let size = 1e-7
      for (const row of rows)
        if (Math.abs(this.cell(row, column)) > size) {
          best = row
          size = Math.abs(this.cell(row, column))
        }
      if (best < 0) return false
      this.pivot(best, column)
      rows.delete(best)
    }
    return rows.size === 0
  }

  basis(): Basis {
    const { columns } = this.form
    return {
      basic: [...this.basic].filter((variable) => variable < columns),
      met: [...this.nonbasic].flatMap((variable) => (variable < columns ? [] : [variable - columns])),
      atUpper: [...this.nonbasic].filter((variable, j) => this.at[j] === this.upperOf(variable) && this.at[j] !== this.lowerOf(variable)),
    }
  }
}
