import type { z } from 'zod'
import type { ChanceProblem } from '#core/formulation/chance'
import { readMps } from '#core/formulation/mps'
import type { MultiProblem } from '#core/formulation/multi'
import { zOf } from '#core/formulation/normal'
import type { StatedProblem } from '#core/formulation/stated-problem'
import { repeated, type Fault } from './problem-fault.js'
import { chanceFault, formulaFault, modelFault, multiFault } from './problem-faults.js'
import { silentFault } from './problem-members.js'
import { ChanceConstrained, Formula, LinearModelProblem, Mps, Multi, Parameter } from './problem-schemas.js'
import { whyTooLarge } from './problem-size.js'
import { modelSwitchFault, switchFault } from './problem-steps.js'

/** What a problem file holds: a problem to solve, a kind that is not solved here, or a fault with the member it is in. */
export type ProblemFile =
  | { readonly kind: 'problem'; readonly stated: StatedProblem }
  | { readonly kind: 'unsupported'; readonly what: string }
  | { readonly kind: 'malformed'; readonly message: string }

const pathOf = (path: readonly PropertyKey[]): string =>
  path.reduce<string>((text, part) => (typeof part === 'number' ? `${text}[${part}]` : text ? `${text}.${String(part)}` : String(part)), '')

function faultOf(issue: z.core.$ZodIssue, root: string): string {
  if (issue.code === 'unrecognized_keys') return `${pathOf([root, ...issue.path, issue.keys[0] ?? ''])}: is not a member of this form`
  return `${pathOf([root, ...issue.path])}: ${issue.message}`
}

const malformed = (message: string): ProblemFile => ({ kind: 'malformed', message })

type Read<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly file: ProblemFile }

function parse<T extends z.ZodType>(schema: T, raw: unknown, root: string): Read<z.output<T>> {
  const parsed = schema.safeParse(raw)
  if (parsed.success) return { ok: true, value: parsed.data }
  const [first] = parsed.error.issues
  return { ok: false, file: malformed(first ? faultOf(first, root) : `${root}: cannot be read`) }
}

type Sized = Parameters<typeof whyTooLarge>[0]

const sized = (measured: Sized, stated: StatedProblem): ProblemFile => {
  const what = whyTooLarge(measured)
  return what === null ? { kind: 'problem', stated } : { kind: 'unsupported', what }
}
function problemOr(fault: Fault, stated: Sized): ProblemFile {
  if (fault !== null) return malformed(fault)
  const file = sized(stated, stated)
  const blind = file.kind === 'problem' ? switchFault(stated) : null
  return blind === null ? file : malformed(blind)
}

/** A limit by chance says how much it is to spare: `z` standard deviations, or the probability they stand for. */
function chanceProblem(raw: z.output<typeof ChanceConstrained>): ChanceProblem | string {
  const chance: ChanceProblem['chance'][number][] = []
  for (const [i, { nutrient, min, max, z, probability }] of raw.chance.entries()) {
    const deviations = z ?? (probability === undefined ? undefined : zOf(probability))
    if (deviations === undefined) return `problem.chance[${i}].z: must be given, or a probability`
    chance.push({ nutrient, min, max, z: deviations })
  }
  return { ...raw, chance }
}

/** Limits of ingredients in a product come by ingredient or as a list. A side that is left out must not be there: the ingredient's own holds. */
function multiProblem(raw: z.output<typeof Multi>): MultiProblem {
  const products = raw.products.map(({ ingredientLimits, ...product }) => ({
    ...product,
    ingredientLimits: Array.isArray(ingredientLimits)
      ? Object.fromEntries(ingredientLimits.map(({ id: ingredient, ...given }) => [ingredient, given]))
      : ingredientLimits,
  }))
  return { ...raw, products }
}

/** As a list, the limits of one ingredient could stand twice. */
function listedTwice({ products }: z.output<typeof Multi>): Fault {
  for (const [i, { ingredientLimits }] of products.entries()) {
    const fault = Array.isArray(ingredientLimits) ? repeated(`problem.products[${i}].ingredientLimits`, ingredientLimits) : null
    if (fault !== null) return fault
  }
  return null
}

function readChance(raw: unknown): ProblemFile {
  const read = parse(ChanceConstrained, raw, 'problem')
  if (!read.ok) return read.file
  const problem = chanceProblem(read.value)
  return typeof problem === 'string' ? malformed(problem) : problemOr(chanceFault(problem), { kind: 'chance-constrained', problem })
}

function readPrices(raw: unknown, file: object): ProblemFile {
  const read = parse(Formula, raw, 'problem')
  if (!read.ok) return read.file
  const prices = parse(Parameter, 'parameter' in file ? file.parameter : undefined, 'parameter')
  if (!prices.ok) return prices.file
  const { ingredient, from, to } = prices.value
  if (!read.value.ingredients.some((one) => one.id === ingredient))
    return malformed(`parameter.ingredient: '${ingredient}' is not an ingredient`)
  if (from >= to) return malformed('parameter.to: must be above parameter.from')
  return problemOr(formulaFault(read.value), { kind: 'parametric-price', problem: read.value, parameter: { ingredient, from, to } })
}

function readMpsText(raw: unknown): ProblemFile {
  const read = parse(Mps, raw, 'problem')
  if (!read.ok) return read.file
  const reading = readMps(read.value)
  if (reading.kind === 'model') {
    const { model } = reading
    const file = sized({ kind: 'lp', problem: { model } }, { kind: 'mps', problem: read.value })
    const at = (row: number, variable: string): string => `problem.mps: row ${model.rows[row]?.id ?? ''}, column ${variable}`
    const blind = file.kind === 'problem' ? modelSwitchFault(model, at) : null
    return blind === null ? file : malformed(blind)
  }
  const field = reading.field === null ? '' : `, ${reading.field}`
  return malformed(`problem.mps: line ${reading.line}${field}: ${reading.message}`)
}

function readOfKind(kind: string, raw: unknown, file: object): ProblemFile {
  switch (kind) {
    case 'formula': {
      const read = parse(Formula, raw, 'problem')
      return read.ok ? problemOr(formulaFault(read.value), { kind, problem: read.value }) : read.file
    }
    case 'multi': {
      const read = parse(Multi, raw, 'problem')
      if (!read.ok) return read.file
      const problem = multiProblem(read.value)
      return problemOr(listedTwice(read.value) ?? multiFault(problem), { kind, problem })
    }
    case 'lp': {
      const read = parse(LinearModelProblem, raw, 'problem')
      return read.ok ? problemOr(modelFault(read.value.model), { kind, problem: read.value }) : read.file
    }
    case 'mps':
      return readMpsText(raw)
    case 'chance-constrained':
      return readChance(raw)
    case 'parametric-price':
      return readPrices(raw, file)
    default:
      return { kind: 'unsupported', what: `kind '${kind}'` }
  }
}

/** Reads the text of a problem file: JSON with a member `problem` in the form of `seed/reference/README.md`, and `kind` (left out: `formula`). */
export function readProblemFile(text: string): ProblemFile {
  let raw: unknown
  try {
    raw = JSON.parse(text)
  } catch (error) {
    return malformed(`the file is not JSON: ${error instanceof Error ? error.message : String(error)}`)
  }
  const silent = silentFault(text)
  if (silent !== null) return malformed(silent)
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) return malformed('the file must hold one object')
  const kind = 'kind' in raw ? raw.kind : 'formula'
  if (typeof kind !== 'string') return malformed('kind: must be a text')
  if (!('problem' in raw) || typeof raw.problem !== 'object' || raw.problem === null) return malformed('problem: must be an object')
  return readOfKind(kind, raw.problem, raw)
}
