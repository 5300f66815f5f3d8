import { spawn } from 'node:child_process'
import { chmod, mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, expect, test } from 'vitest'
import { startEmbedded, type Embedded } from '#platform/database/embedded'
import { onTally as ask } from '../support/tally.js'

const home = await mkdtemp(join(tmpdir(), 'kinu-embedded-'))
const dataDir = join(home, 'data')
const running = new Set<Embedded>()

const start = async (folder = dataDir, say?: (line: string) => void): Promise<Embedded> => {
  const server = await startEmbedded({ dataDir: folder, ...(say !== undefined && { say }) })
  running.add(server)
  return server
}
const stop = async (server: Embedded): Promise<void> => {
  running.delete(server)
  await server.stop()
}

afterEach(async () => {
  for (const server of running) await stop(server)
})
afterAll(() => rm(home, { recursive: true, force: true }))

const pidOf = async ({ dataFolder }: Embedded): Promise<number> =>
  Number((await readFile(join(dataFolder, 'postmaster.pid'), 'utf8')).split('\n', 1)[0])

test('the first start makes a database that only this machine reaches, with a kept password, and forgets nothing', async () => {
  await chmod(home, 0o755)
  const server = await start()
  const { rows } = await ask(
    server.url,
    "SELECT name, setting FROM pg_settings WHERE name IN ('fsync', 'full_page_writes', 'synchronous_commit', 'listen_addresses', 'data_checksums')",
  )
  expect(Object.fromEntries(rows.map(({ name, setting }) => [name, setting]))).toEqual({
    fsync: 'on',
    full_page_writes: 'on',
    synchronous_commit: 'on',
    listen_addresses: '127.0.0.1',
    data_checksums: 'on',
  })
  expect((await stat(join(dataDir, 'postgres-password'))).mode & 0o777).toBe(0o600)
  const guessed = Object.assign(new URL(server.url), { password: 'guess' }).href
  await expect(ask(guessed, 'SELECT 1')).rejects.toMatchObject({ code: '28P01' })
  await ask(server.url, 'CREATE TABLE kept AS SELECT 1 AS x')
})

test('a second start finds what the first one kept', async () => {
  const server = await start()
  expect((await ask(server.url, 'SELECT x FROM kept')).rows).toEqual([{ x: 1 }])
})

test('a start after a crash of both processes replays what was confirmed', async () => {
  const server = await start()
  await ask(server.url, 'INSERT INTO kept VALUES (2)')
  process.kill(await pidOf(server), 'SIGKILL')
  running.delete(server)
  const again = await start()
  expect((await ask(again.url, 'SELECT x FROM kept ORDER BY x')).rows).toEqual([{ x: 1 }, { x: 2 }])
})

test('a start after a crash of Kinu alone ends the server that was left and takes its place', async () => {
  const left = await start()
  const pid = await pidOf(left)
  running.delete(left)
  const again = await start()
  expect(await pidOf(again)).not.toBe(pid)
  expect((await ask(again.url, 'SELECT count(*)::int AS n FROM kept')).rows).toEqual([{ n: 2 }])
})

test('a folder that another running process uses is refused, by its number', async () => {
  const other = spawn(process.execPath, ['-e', 'setTimeout(() => undefined, 60000)'], { stdio: 'ignore' })
  await writeFile(join(dataDir, 'kinu.pid'), `${other.pid}\n`)
  await expect(start()).rejects.toThrow(`in use by the running process ${other.pid}`)
  other.kill('SIGKILL')
  await new Promise((done) => other.once('exit', done))
  const server = await start()
  expect((await ask(server.url, 'SELECT 1 AS one')).rows).toEqual([{ one: 1 }])
})

test('a data folder under a closed home works as root too, and it is said where the data went', async () => {
  await chmod(home, 0o700)
  const said: string[] = []
  const closed = join(home, 'closed')
  const server = await start(closed, (line) => said.push(line))
  expect((await ask(server.url, 'SELECT 1 AS one')).rows).toEqual([{ one: 1 }])
  const asRoot = process.getuid?.() === 0
  expect(said.join()).toContain(asRoot ? server.dataFolder.replace(/\/pg$/, '') : '')
  expect(server.dataFolder.startsWith(asRoot ? '/var/tmp/kinu-' : closed)).toBe(true)
  await stop(server)
  if (asRoot) await rm(server.dataFolder.replace(/\/pg$/, ''), { recursive: true })
})
