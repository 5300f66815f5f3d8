// A mill of its own with the demo, on a port of its own, in a folder that is thrown away.
import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { root } from '../build.mjs'

export const PASSWORD = 'bench-bench-bench'
const LONGEST_START_MS = 300_000

const freePort = () =>
  new Promise((found) => {
    const probe = createServer().listen(0, '127.0.0.1', () => {
      const { port } = probe.address()
      probe.close(() => found(port))
    })
  })

/** Ends with the address once the mill says it is ready. */
const ready = (mill) =>
  new Promise((resolve, reject) => {
    let text = ''
    const late = setTimeout(() => reject(new Error(`the mill did not start in ${LONGEST_START_MS / 1000} s`)), LONGEST_START_MS)
    mill.stdout.on('data', (chunk) => {
      text += chunk
      const address = /Kinu is ready: (\S+)/.exec(text)?.[1]
      if (address === undefined || !text.includes('Ctrl-C')) return
      clearTimeout(late)
      resolve(address)
    })
    mill.once('exit', (code) => reject(new Error(`the mill ended with ${code}\n${text}`)))
  })

export async function startMill() {
  const folder = mkdtempSync(join(tmpdir(), 'kinu-bench-'))
  const port = await freePort()
  const mill = spawn(process.execPath, ['--import', './.tools/bench/watch-loop.mjs', 'dist/server/start.js'], {
    cwd: root,
    env: {
      ...process.env,
      PORT: String(port),
      KINU_DATA_DIR: folder,
      KINU_DEMO_PASSWORD: PASSWORD,
      KINU_REQUESTS_PER_MINUTE: '100000',
      // a late process refuses requests; here it shall answer, however late, to be measured
      KINU_MAX_EVENT_LOOP_DELAY_MS: '0',
      LOG_LEVEL: 'error',
    },
    stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
  })
  const ended = new Promise((done) => mill.once('exit', done))
  const loop = (message) =>
    new Promise((answer) => {
      mill.once('message', answer)
      mill.send(message)
    })
  const stop = async () => {
    mill.kill('SIGTERM')
    await ended
    rmSync(folder, { recursive: true, force: true })
  }
  try {
    return { address: await ready(mill), loop, stop }
  } catch (error) {
    await stop()
    throw error
  }
}
