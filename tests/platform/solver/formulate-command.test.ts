import { execFile } from 'node:child_process'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { casePath } from '../../core/formulation/reference-cases.js'

const COMMAND = fileURLToPath(new URL('../../../server/formulate.ts', import.meta.url))
type Ended = { readonly code: number; readonly stdout: string; readonly stderr: string }

const formulateFile = (...args: string[]): Promise<Ended> =>
  new Promise((resolve) => {
    execFile(process.execPath, ['--import', 'tsx', '--conditions=kinu-source', COMMAND, ...args], (error, stdout, stderr) => {
      resolve({ code: typeof error?.code === 'number' ? error.code : error ? -1 : 0, stdout, stderr })
    })
  })

let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kinu-formulate-'))
})
afterAll(() => rm(folder, { recursive: true }))

describe('the command formulate', () => {
  test('prints the optimum as one object and exits 0', async () => {
    const { code, stdout, stderr } = await formulateFile(casePath('alloy-blend-published-ranging'))
    const answer = JSON.parse(stdout) as Record<string, unknown>
    expect([code, stderr]).toEqual([0, ''])
    expect(Object.keys(answer)).toEqual(['status', 'objective', 'amounts', 'binding', 'shadowPrices', 'reducedCosts', 'conflict'])
    expect(answer).toMatchObject({ status: 'optimal', conflict: null })
    expect(answer['objective']).toBeCloseTo(296.216606498, 6)
  })

  test('an infeasible problem is an answer that names its conflict: exit 0', async () => {
    const { code, stdout } = await formulateFile(casePath('nine-food-diet-dairy-infeasible'))
    expect(code).toBe(0)
    expect(JSON.parse(stdout)).toMatchObject({
      status: 'infeasible',
      objective: null,
      conflict: ['nutrient:protein:min', 'nutrient:sodium:max', 'linear:dairy'],
    })
  })

  test('a malformed file exits 2 and names the member at fault, printing no answer', async () => {
    const file = join(folder, 'malformed.json')
    await writeFile(file, JSON.stringify({ kind: 'formula', problem: { ingredients: [{ id: 'maize', cost: 'dear' }] } }))
    expect(await formulateFile(file)).toEqual({ code: 2, stdout: '', stderr: 'problem.ingredients[0].cost: must be a number\n' })
    expect((await formulateFile(join(folder, 'missing.json'))).code).toBe(2)
    expect((await formulateFile()).code).toBe(2)
  })

  test.each([
    ['multi', { ingredients: [{ id: 'm', cost: 1 }], products: [{ id: 7 }] }, 'problem.products[0].id: must be a text'],
    ['lp', { model: { vars: [{ id: 'x' }], rows: [] } }, 'problem.model.vars[0].cost: must be a number'],
    ['mps', { mps: 'NAME\nROWS\n Q  c\nENDATA\n' }, "problem.mps: line 3, field 1 (columns 2-3): 'Q' is no type of row"],
    ['chance-constrained', { ingredients: [{ id: 'm', cost: 1 }], chance: 'often' }, 'problem.chance: must be a list'],
    ['parametric-price', { ingredients: [{ id: 'm', cost: 1 }] }, 'parameter: must be an object'],
  ])('a malformed file of kind %s exits 2 with the member at fault', async (kind, problem, message) => {
    const file = join(folder, `${kind}.json`)
    await writeFile(file, JSON.stringify({ kind, problem }))
    expect(await formulateFile(file)).toEqual({ code: 2, stdout: '', stderr: `${message}\n` })
  })

  test('whole amounts come with the bound that proves them', async () => {
    const { code, stdout } = await formulateFile(casePath('semicontinuous-used'))
    expect(code).toBe(0)
    const answer = JSON.parse(stdout) as Record<string, unknown>
    expect(answer).toMatchObject({ status: 'optimal', proven: true, conflict: null })
    expect(answer['objective']).toBeCloseTo(-8.22333333333, 8)
    expect(answer['bound']).toBeCloseTo(-8.22333333333, 8)
  })

  test('a price run prints its ends and break points', async () => {
    const { code, stdout } = await formulateFile(casePath('broiler-grower-sunflower-price'))
    expect(code).toBe(0)
    expect(JSON.parse(stdout)).toMatchObject({
      status: 'optimal',
      atLow: { price: 0.02, amount: 100 },
      breakPoints: [{ amountBelow: 100, amountAbove: 0 }],
    })
  })

  test('what is no program, or has no bound for a choice, exits 3', async () => {
    expect(await formulateFile(casePath('pearson-maize-soya'))).toEqual({
      code: 3,
      stdout: '',
      stderr: "unsupported: kind 'pearson-square'\n",
    })
    const file = join(folder, 'open.json')
    await writeFile(file, JSON.stringify({ problem: { ingredients: [{ id: 'm', cost: 1, minIfUsed: 3 }] } }))
    expect(await formulateFile(file)).toEqual({ code: 3, stdout: '', stderr: 'unsupported: no upper bound for m\n' })
  })

  const small = JSON.stringify({ problem: { batch: { size: 10, relation: '=' }, ingredients: [{ id: 'maize', cost: 3 }] } })
  test('a mark at the start of the file is passed over', async () => {
    const file = join(folder, 'marked.json')
    await writeFile(file, `\uFEFF${small}`)
    const { code, stdout } = await formulateFile(file)
    expect(code).toBe(0)
    expect(JSON.parse(stdout)).toMatchObject({ status: 'optimal', objective: 30 })
  })

  test('what is no file, and more than one, exits 2 with a reason', async () => {
    expect(await formulateFile(folder)).toEqual({ code: 2, stdout: '', stderr: `${folder}: cannot be read: it is a folder\n` })
    expect(await formulateFile(folder, folder)).toEqual({ code: 2, stdout: '', stderr: 'usage: npm run -s formulate -- FILE\n' })
  })
})
