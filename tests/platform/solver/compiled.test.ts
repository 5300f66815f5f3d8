import { execFile } from 'node:child_process'
import { cp, mkdtemp, rm, symlink } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { casePath } from '../../core/formulation/reference-cases.js'

const HOUSE = fileURLToPath(new URL('../../../', import.meta.url))
let folder = ''

const node = (
  args: readonly string[],
  cwd: string,
): Promise<{ readonly failed: boolean; readonly stdout: string; readonly stderr: string }> =>
  new Promise((resolve) => {
    execFile(process.execPath, args, { cwd }, (error, stdout, stderr) => resolve({ failed: error !== null, stdout, stderr }))
  })

/** The server as it is compiled for `npm start`, in a folder of its own. */
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'kinu-compiled-'))
  await cp(join(HOUSE, 'package.json'), join(folder, 'package.json'))
  await symlink(join(HOUSE, 'node_modules'), join(folder, 'node_modules'))
  await node([join(HOUSE, 'node_modules/typescript/bin/tsc'), '-p', 'tsconfig.build.json', '--outDir', join(folder, 'dist')], HOUSE)
})
afterAll(() => rm(folder, { recursive: true }))

test('the compiled pool solves in its threads, with no TypeScript beside it', async () => {
  const pool = pathToFileURL(join(folder, 'dist/server/platform/solver/pool.js')).href
  const script = `
    import { readFileSync } from 'node:fs'
    import { createSolverPool } from '${pool}'
    const { problem } = JSON.parse(readFileSync(process.argv[1], 'utf8'))
    const pool = createSolverPool({ threads: 1, deadlineMs: 5000 })
    console.log((await pool.formulate(problem)).status)
    await pool.close()`
  expect(await node(['--input-type=module', '-e', script, casePath('broiler-grower-14')], folder)).toEqual({
    failed: false,
    stdout: 'optimal\n',
    stderr: '',
  })
})

test('the compiled command solves a file', async () => {
  const { failed, stdout } = await node([join(folder, 'dist/server/formulate.js'), casePath('broiler-grower-14')], folder)
  expect([failed, (JSON.parse(stdout) as { status: string }).status]).toEqual([false, 'optimal'])
})
