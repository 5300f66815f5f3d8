// The bare libraries, each given the linear program in its own form before the clock starts. An answer is { kind, objective }.
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import createGlpk from 'glpk.js/node'
import loadHighs from 'highs'
import solver from 'javascript-lp-solver'
import { solve as solveYalps } from 'yalps'

const bounded = ({ lower, upper }) =>
  lower !== null && lower === upper
    ? { equal: lower }
    : { ...(lower === null ? {} : { min: lower }), ...(upper === null ? {} : { max: upper }) }

/** The form that both small libraries read: stocks become rows, because their variables have no upper limit. */
function asRows({ variables, rows }) {
  const constraints = Object.fromEntries(rows.map((row) => [row.name, bounded(row)]))
  const columns = Object.fromEntries(variables.map(({ name, cost }) => [name, { cost }]))
  for (const row of rows) row.columns.forEach((column, k) => (columns[variables[column].name][row.name] = row.coefficients[k]))
  for (const { name, upper } of variables)
    if (upper !== null) {
      constraints[`most ${name}`] = { max: upper }
      columns[name][`most ${name}`] = 1
    }
  return { constraints, variables: columns }
}

const answer = (kind, objective) => ({ kind, objective })

async function glpkJs() {
  const glpk = await createGlpk()
  const bounds = ({ lower, upper }) => {
    const type = lower === null ? (upper === null ? 'GLP_FR' : 'GLP_UP') : upper === null ? 'GLP_LO' : lower === upper ? 'GLP_FX' : 'GLP_DB'
    return { type: glpk[type], lb: lower ?? -Number.MAX_VALUE, ub: upper ?? Number.MAX_VALUE }
  }
  return {
    name: 'glpk.js',
    prepare: ({ variables, rows }) => ({
      name: 'mix',
      objective: { direction: glpk.GLP_MIN, name: 'cost', vars: variables.map(({ name, cost }) => ({ name, coef: cost })) },
      subjectTo: rows.map((row) => ({
        name: row.name,
        vars: row.columns.map((column, k) => ({ name: variables[column].name, coef: row.coefficients[k] })),
        bnds: bounds(row),
      })),
      bounds: variables.map((variable) => ({ name: variable.name, ...bounds(variable) })),
    }),
    solve(model) {
      // with its presolve an infeasible problem ends as "undefined"; without it glpk.js does better
      const { result } = glpk.solve(model, { msglev: glpk.GLP_MSG_OFF, presol: false, tmlim: 5 })
      if (result.status === glpk.GLP_OPT) return answer('optimal', result.z)
      return answer(result.status === glpk.GLP_NOFEAS ? 'infeasible' : 'failed')
    },
  }
}

async function highs() {
  const module = await loadHighs()
  const status = module.constants.modelStatus
  return {
    name: 'HiGHS',
    prepare({ variables, rows }) {
      const starts = [0]
      for (const { columns } of rows) starts.push(starts.at(-1) + columns.length)
      return {
        numCols: variables.length,
        numRows: rows.length,
        colCost: variables.map(({ cost }) => cost),
        colLower: variables.map(({ lower }) => lower ?? -module.infinity),
        colUpper: variables.map(({ upper }) => upper ?? module.infinity),
        rowLower: rows.map(({ lower }) => lower ?? -module.infinity),
        rowUpper: rows.map(({ upper }) => upper ?? module.infinity),
        matrix: {
          format: 'csr',
          numRows: rows.length,
          numCols: variables.length,
          starts,
          indices: rows.flatMap(({ columns }) => columns),
          values: rows.flatMap(({ coefficients }) => coefficients),
        },
      }
    },
    solve: (data) =>
      module.withModel((model) => {
        model.options.set({ output_flag: false })
        model.passModel(data)
        const { modelStatus } = model.run()
        if (modelStatus === status.optimal) {
          model.getSolution()
          return answer('optimal', model.getObjectiveValue())
        }
        return answer(modelStatus === status.infeasible ? 'infeasible' : 'failed')
      }),
  }
}

const javascriptLpSolver = {
  name: 'javascript-lp-solver',
  prepare: (lp) => ({ optimize: 'cost', opType: 'min', ...asRows(lp) }),
  solve(model) {
    const { feasible, bounded: finite, result } = solver.Solve(model)
    return answer(feasible ? (finite === false ? 'unbounded' : 'optimal') : 'infeasible', result)
  },
}

const yalps = {
  name: 'yalps',
  prepare: (lp) => ({ direction: 'minimize', objective: 'cost', ...asRows(lp) }),
  solve(model) {
    const { status, result } = solveYalps(model)
    return answer(status, result)
  },
}

const term = (value, name) => `${value < 0 ? '-' : '+'} ${Math.abs(value)} ${name}`
/** CPLEX LP text, which glpsol reads. */
export function asLpText({ variables, rows }) {
  const sum = ({ columns, coefficients }) => columns.map((column, k) => term(coefficients[k], variables[column].name)).join('\n  ')
  const limits = rows.flatMap((row) =>
    row.lower !== null && row.lower === row.upper
      ? [` ${row.name}: ${sum(row)} = ${row.lower}`]
      : [
          ...(row.lower === null ? [] : [` ${row.name}_min: ${sum(row)} >= ${row.lower}`]),
          ...(row.upper === null ? [] : [` ${row.name}_max: ${sum(row)} <= ${row.upper}`]),
        ],
  )
  const stocks = variables.map(({ name, lower, upper }) => ` ${lower ?? '-inf'} <= ${name} <= ${upper ?? '+inf'}`)
  const cost = variables.map((variable) => term(variable.cost, variable.name)).join('\n  ')
  return ['Minimize', ` cost: ${cost}`, 'Subject To', ...limits, 'Bounds', ...stocks, 'End', ''].join('\n')
}

/** A process of its own for each problem, as there is no other way to ask it. */
function glpsol() {
  const folder = mkdtempSync(join(tmpdir(), 'kinu-bench-'))
  process.once('exit', () => rmSync(folder, { recursive: true, force: true }))
  let files = 0
  return {
    name: 'glpsol',
    prepare(lp) {
      const file = join(folder, `${(files += 1)}.lp`)
      writeFileSync(file, asLpText(lp))
      return file
    },
    solve(file) {
      const { stdout } = spawnSync('glpsol', ['--lp', file, '-o', `${file}.txt`], { encoding: 'utf8' })
      const text = readFileSync(`${file}.txt`, 'utf8')
      const objective = /^Objective:\s+\S+ = (\S+)/m.exec(text)
      if (/^Status:\s+OPTIMAL/m.test(text)) return answer('optimal', Number(objective?.[1]))
      return answer(/NO PRIMAL FEASIBLE|HAS NO (PRIMAL )?FEASIBLE/.test(stdout) || /INFEASIBLE/.test(text) ? 'infeasible' : 'failed')
    },
  }
}

const installed = (program) => spawnSync(program, ['--version']).error === undefined

/** Those that are here, and the names of those that are not. */
export async function openLibraries() {
  const present = installed('glpsol')
  return {
    libraries: [await glpkJs(), await highs(), javascriptLpSolver, yalps, ...(present ? [glpsol()] : [])],
    absent: present ? [] : ['glpsol'],
  }
}
