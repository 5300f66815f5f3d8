import { spawn } from 'node:child_process'
import { randomUUID } from 'node:crypto'
import { Agent, request } from 'node:http'
import { fileURLToPath } from 'node:url'

export type ServerProcess = { readonly address: string; readonly stop: () => Promise<void> }

/** Starts a TypeScript file of the tests as a process of its own; the first line it writes is its address. */
export const startServer = (file: string, environment: { readonly [name: string]: string }): Promise<ServerProcess> => {
  const script = fileURLToPath(new URL(file, import.meta.url))
  const child = spawn(process.execPath, ['--import', 'tsx', '--conditions=kinu-source', script], {
    env: { ...process.env, NODE_ENV: '', ...environment },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  const stop = (): Promise<void> => {
    child.kill('SIGTERM')
    return ended
  }
  return new Promise((started, failed) => {
    child.once('error', failed)
    child.once('exit', (code) => failed(new Error(`${file} ended with ${code ?? 'a signal'} before it listened`)))
    child.stdout.once('data', (line: Buffer) => started({ address: line.toString().trim(), stop }))
  })
}

export type HttpAnswer = { readonly status: number; readonly text: string; readonly replayed: boolean; readonly cookie: string | undefined }

/** Somebody at another machine: one connection that is kept, a session, and real sockets. */
export class HttpClient {
  private readonly connection = new Agent({ keepAlive: true, maxSockets: 1 })
  private cookie = ''
  private csrfToken = ''

  constructor(readonly address: string) {}

  async signIn(login: string, password: string): Promise<void> {
    let answer = await this.post('/session', { login, password })
    for (let tries = 1; answer.status === 503 && tries < 20; tries += 1) answer = await this.post('/session', { login, password })
    if (answer.status !== 200) throw new Error(`The client could not sign in: ${answer.text}`)
    this.cookie = answer.cookie ?? ''
    this.csrfToken = (JSON.parse(answer.text) as { csrfToken: string }).csrfToken
  }

  /** Sends once. A connection that breaks is status 0: whether it happened is not known. */
  post(path: string, body: unknown, key: string = randomUUID(), revision?: number): Promise<HttpAnswer> {
    const payload = JSON.stringify(body)
    const headers = {
      'content-type': 'application/json',
      'content-length': Buffer.byteLength(payload),
      'idempotency-key': key,
      ...(revision !== undefined && { 'if-match': `"${revision}"` }),
      ...(this.cookie !== '' && { cookie: this.cookie, 'x-csrf-token': this.csrfToken }),
    }
    return new Promise((answered) => {
      const sent = request(`${this.address}/api/v1${path}`, { method: 'POST', agent: this.connection, headers }, (response) => {
        let text = ''
        response.setEncoding('utf8')
        response.on('data', (part: string) => (text += part))
        response.on('end', () => {
          const cookie = response.headers['set-cookie']?.find((line) => line.startsWith('kinu='))?.split(';')[0]
          answered({ status: response.statusCode ?? 0, text, replayed: response.headers['idempotency-replayed'] === 'true', cookie })
        })
      })
      sent.on('error', () => answered({ status: 0, text: '', replayed: false, cookie: undefined }))
      sent.end(payload)
    })
  }

  close(): void {
    this.connection.destroy()
  }
}
