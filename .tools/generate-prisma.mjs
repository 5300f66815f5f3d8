// Generates the Prisma client. The client needs no native engine, but the command line insists on finding one and would
// download it: naming any existing executable satisfies it, so that this works without a network.
import { spawnSync } from 'node:child_process'
import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('..', import.meta.url))
const cli = createRequire(import.meta.url).resolve('prisma/build/index.js')
const arguments_ = process.argv.length > 2 ? process.argv.slice(2) : ['generate']
const result = spawnSync(process.execPath, [cli, ...arguments_], {
  cwd: root,
  stdio: 'inherit',
  env: { ...process.env, PRISMA_SCHEMA_ENGINE_BINARY: process.execPath, PRISMA_HIDE_UPDATE_MESSAGE: '1', CHECKPOINT_DISABLE: '1' },
})
process.exit(result.status ?? 1)
