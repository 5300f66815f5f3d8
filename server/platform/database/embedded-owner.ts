import { execFile } from 'node:child_process'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'

const run = promisify(execFile)

const commandOf = async (pid: number): Promise<string> => {
  try {
    return (await readFile(`/proc/${pid}/cmdline`, 'utf8')).replaceAll('\0', ' ')
  } catch {
    const listed = await run('ps', ['-p', String(pid), '-o', 'command=']).catch(() => ({ stdout: '' }))
    return listed.stdout
  }
}

const isAlive = (pid: number): boolean => {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    // EPERM: it lives and belongs to somebody else
    return error instanceof Error && 'code' in error && error.code === 'EPERM'
  }
}

const pidIn = async (file: string): Promise<number | undefined> => {
  const first = (await readFile(file, 'utf8').catch(() => '')).split('\n', 1)[0] ?? ''
  return /^\d+$/.test(first.trim()) ? Number(first) : undefined
}

/** Another Kinu that is still running owns the data folder; after a crash its number may be anybody's, so what runs is looked at. */
export const refuseLiveOwner = async (ownerFile: string, dataDir: string): Promise<void> => {
  const pid = await pidIn(ownerFile)
  if (pid === undefined || pid === process.pid || !isAlive(pid)) return
  if (!/\bnode\b|tsx|vitest/.test(await commandOf(pid))) return
  throw new Error(
    `The data folder ${dataDir} is in use by the running process ${pid}. Stop it, or name another folder in KINU_DATA_DIR (and another PORT)`,
  )
}

const PATIENCE_MS = 20_000

/** A crash of Kinu leaves PostgreSQL running without it; it is ended properly, so that the data can be opened again. */
export const endOrphan = async (dataFolder: string): Promise<void> => {
  const pid = await pidIn(join(dataFolder, 'postmaster.pid'))
  if (pid === undefined || !isAlive(pid)) return
  // A number that went to another program after a restart of the machine; PostgreSQL sees through that by itself.
  if (!(await commandOf(pid)).includes(dataFolder)) return
  process.kill(pid, 'SIGINT')
  const until = Date.now() + PATIENCE_MS
  while (isAlive(pid)) {
    if (Date.now() > until) throw new Error(`PostgreSQL (process ${pid}) is left from an earlier start and does not end; end it by hand`)
    await new Promise((later) => setTimeout(later, 50))
  }
}
