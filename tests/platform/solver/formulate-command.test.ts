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

  test('what is not yet supported exits 3', async () => {
    expect(await formulateFile(casePath('broiler-grower-bags'))).toMatchObject({
      code: 3,
      stdout: '',
      stderr: 'not yet supported: problem.ingredients[6].increment\n',
    })
    expect((await formulateFile(casePath('netlib-afiro'))).code).toBe(3)
  })
})
