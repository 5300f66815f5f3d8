// Builds what is stale: the Prisma client, the server (dist/) and the console (admin/dist/). What a part was built from is kept
// as one hash of its sources beside it, because after a fresh clone or a change of branch the times of files say nothing.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join, relative } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'

export const root = fileURLToPath(new URL('..', import.meta.url))
const stamps = join(root, 'dist', '.built')
const generated = 'server/platform/database/generated'

const PARTS = {
  client: {
    sources: ['prisma/schema.prisma', 'prisma.config.ts', '.tools/generate-prisma.mjs', 'package-lock.json'],
    product: `${generated}/client.ts`,
    steps: [[join(root, '.tools/generate-prisma.mjs')]],
  },
  server: {
    sources: ['server', 'seed', 'tsconfig.json', 'tsconfig.build.json', 'package-lock.json'],
    leaveOut: ['seed/reference', 'server/openapi.json'],
    product: 'dist/server/main.js',
    steps: [[programOf('typescript', 'tsc'), '-p', 'tsconfig.build.json']],
    afterwards: removeOrphans,
  },
  console: {
    sources: ['admin', 'server/contract', 'server/core', 'tsconfig.json', 'tsconfig.admin.json', 'package-lock.json'],
    leaveOut: ['admin/dist'],
    product: 'admin/dist/index.html',
    steps: [
      [programOf('vite', 'vite'), 'build', 'admin', '--logLevel', 'warn'],
      [programOf('vite', 'vite'), 'build', 'admin', '--mode', 'member', '--logLevel', 'warn'],
    ],
  },
}

/** The file that a package's command runs. */
export function programOf(packageName, command) {
  const entry = createRequire(import.meta.url).resolve(`${packageName}/package.json`)
  const { bin } = JSON.parse(readFileSync(entry, 'utf8'))
  return join(entry, '..', typeof bin === 'string' ? bin : bin[command])
}

function filesUnder(path, leaveOut) {
  if (leaveOut.includes(path) || !existsSync(join(root, path))) return []
  if (!statSync(join(root, path)).isDirectory()) return [path]
  const names = readdirSync(join(root, path)).sort()
  return names.flatMap((name) => filesUnder(`${path}/${name}`, leaveOut))
}

function hashOf({ sources, leaveOut = [] }) {
  const hash = createHash('sha256').update(process.version.split('.', 1)[0])
  for (const path of sources.flatMap((source) => filesUnder(source, leaveOut))) {
    hash.update(`\n${path}\n`).update(readFileSync(join(root, path)))
  }
  return hash.digest('hex')
}

/** Compiled files whose source has gone would still be found by an import. */
function removeOrphans() {
  for (const path of ['dist/server', 'dist/seed'].flatMap((folder) => filesUnder(folder, []))) {
    const source = relative('dist', path)
      .replace(/\.map$/, '')
      .replace(/\.js$/, '.ts')
    if (!existsSync(join(root, source))) rmSync(join(root, path))
  }
}

/** Builds the named parts where they are stale. Throws an Error in plain words when a step fails. `say` gets one line a part. */
export function build(names, say = (line) => console.error(line)) {
  for (const name of names) {
    const part = PARTS[name]
    const stamp = join(stamps, name)
    const hash = hashOf(part)
    if (existsSync(join(root, part.product)) && existsSync(stamp) && readFileSync(stamp, 'utf8') === hash) continue
    const started = Date.now()
    rmSync(stamp, { force: true })
    for (const step of part.steps) run(name, step)
    part.afterwards?.()
    if (!existsSync(join(root, part.product))) throw new Error(`Building the ${name} made no ${part.product}`)
    mkdirSync(stamps, { recursive: true })
    writeFileSync(stamp, hash)
    say(`Built the ${name} in ${((Date.now() - started) / 1000).toFixed(1)} s`)
  }
}

function run(name, [program, ...given]) {
  // Standard output belongs to the caller (npm run -s formulate prints one JSON object), so builds speak on standard error.
  const { status, error } = spawnSync(process.execPath, [program, ...given], { cwd: root, stdio: ['ignore', 2, 2] })
  if (error) throw new Error(`Building the ${name} could not start`, { cause: error })
  if (status !== 0) throw new Error(`Building the ${name} failed`)
}

/** For the scripts that build and then run: a failed build ends the process with its reason. */
export function buildOrStop(names) {
  try {
    build(names)
  } catch (error) {
    console.error(error instanceof Error ? error.message : error)
    process.exit(1)
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const names = process.argv.slice(2)
  const unknown = names.find((name) => !(name in PARTS))
  if (unknown !== undefined) {
    console.error(`There is no part "${unknown}"; parts are ${Object.keys(PARTS).join(', ')}`)
    process.exit(1)
  }
  buildOrStop(names.length > 0 ? names : Object.keys(PARTS))
}
