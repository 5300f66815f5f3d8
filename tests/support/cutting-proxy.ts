import { createServer, connect, type Socket } from 'node:net'

export type CuttingProxy = {
  readonly through: (url: string) => string
  /** The next so many answers to a COMMIT never arrive: the connection is cut in their place. */
  readonly cutNext: (count: number) => void
  readonly cuts: () => number
  readonly close: () => Promise<void>
}

// CommandComplete of PostgreSQL's protocol: the letter C, the length 11, then the tag.
const COMMIT_DONE = Buffer.concat([Buffer.from('C'), Buffer.from([0, 0, 0, 11]), Buffer.from('COMMIT\0')])

/** A TCP proxy before PostgreSQL that loses answers to COMMIT: the effect is there, and nobody hears of it. */
export const startCuttingProxy = async (databaseUrl: string): Promise<CuttingProxy> => {
  const target = new URL(databaseUrl)
  const sockets = new Set<Socket>()
  let toCut = 0
  let cut = 0
  const server = createServer((client) => {
    const upstream = connect(Number(target.port), target.hostname)
    for (const socket of [client, upstream]) {
      sockets.add(socket)
      socket.on('error', () => undefined).on('close', () => sockets.delete(socket))
    }
    client.on('data', (chunk) => upstream.write(chunk)).on('close', () => upstream.destroy())
    upstream.on('close', () => client.destroy())
    upstream.on('data', (chunk) => {
      if (toCut > 0 && chunk.includes(COMMIT_DONE)) {
        toCut -= 1
        cut += 1
        client.destroy()
        return
      }
      client.write(chunk)
    })
  })
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
  const address = server.address()
  const port = typeof address === 'object' && address !== null ? String(address.port) : ''
  return {
    through: (url) => Object.assign(new URL(url), { port }).href,
    cutNext: (count) => (toCut = count),
    cuts: () => cut,
    close: async () => {
      for (const socket of sockets) socket.destroy()
      await new Promise((done) => server.close(done))
    },
  }
}
