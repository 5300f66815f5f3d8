import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'

const HOME = 'https://mill.example'
const addressOf = (asked: Request | string): string => new URL(typeof asked === 'string' ? asked : asked.url, HOME).href

/** What a browser keeps of answers, by name and address. */
const makeCaches = () => {
  const all = new Map<string, Map<string, Response>>()
  const open = async (name: string) => {
    const kept = all.get(name) ?? new Map<string, Response>()
    all.set(name, kept)
    return {
      match: async (asked: Request | string) => kept.get(addressOf(asked))?.clone(),
      put: async (asked: Request | string, answer: Response) => void kept.set(addressOf(asked), answer),
      delete: async (asked: Request | string) => kept.delete(addressOf(asked)),
      keys: async () => [...kept.keys()].map((url) => new Request(url)),
    }
  }
  return { open, delete: async (name: string) => all.delete(name) }
}

const pageOf = (build: string): string =>
  `<link href="/assets/mark.svg"><script src="/assets/staff-${build}.js"></script><link href="/assets/staff-${build}.css">`
const FILES_OF = (build: string): string[] => [`/assets/staff-${build}.js`, `/assets/receive-${build}.js`]
const MEMBER_FILES = ['/assets/member-1.js']

type On = (event: object) => void
const listeners = new Map<string, On>()
let online = true
/** What the mill has at this moment; other files are not found. */
let served = new Map<string, string>()

const deploy = (build: string): void => {
  served = new Map([
    ['/', pageOf(build)],
    ['/member/', '<script src="/assets/member-1.js"></script>'],
    ...['/assets/mark.svg', `/assets/staff-${build}.css`, ...FILES_OF(build), ...MEMBER_FILES].map((path) => [path, path] as const),
  ])
}

const get = async (path: string, mode?: 'navigate'): Promise<string> => {
  let answer: Promise<Response> = Promise.reject(new Error('not answered'))
  answer.catch(() => undefined)
  const request = new Request(`${HOME}${path}`)
  if (mode) Object.defineProperty(request, 'mode', { value: mode })
  listeners.get('fetch')?.({ request, respondWith: (given: Promise<Response>) => (answer = given) })
  const { status, text } = await answer.then(async (given) => ({ status: given.status, text: await given.text() }))
  return status === 200 ? text : String(status)
}
const tell = async (page: string, files: readonly string[]): Promise<void> => {
  let work: Promise<unknown> = Promise.resolve()
  listeners.get('message')?.({ data: { page, files }, waitUntil: (given: Promise<unknown>) => (work = given) })
  await work
}
/** A page opens, loads what it needs, and tells. */
const visit = async (build: string): Promise<void> => {
  await get('/', 'navigate')
  for (const file of FILES_OF(build)) await get(file)
  await tell('/', FILES_OF(build))
}

describe('the worker that opens pages without a network', () => {
  beforeEach(async () => {
    online = true
    deploy('1')
    vi.resetModules()
    vi.stubGlobal('caches', makeCaches())
    vi.stubGlobal('location', new URL(HOME))
    vi.stubGlobal('addEventListener', (kind: string, on: On) => listeners.set(kind, on))
    const RealRequest = Request
    vi.stubGlobal(
      'Request',
      class extends RealRequest {
        constructor(asked: string | Request) {
          super(typeof asked === 'string' ? addressOf(asked) : asked)
        }
      },
    )
    vi.stubGlobal('fetch', async (asked: Request) => {
      if (!online) throw new TypeError('no network')
      const text = served.get(new URL(asked.url).pathname)
      return text === undefined ? new Response('', { status: 404 }) : new Response(text)
    })
    await import('../../../admin/outbox/worker')
  })
  afterEach(() => vi.unstubAllGlobals())

  test('opens a page and its files as they were when the page told of them', async () => {
    await visit('1')
    online = false
    expect(await get('/', 'navigate')).toBe(pageOf('1'))
    for (const file of [...FILES_OF('1'), '/assets/staff-1.css', '/assets/mark.svg']) expect(await get(file)).toBe(file)
  })

  test('opens the build before, whole, when the network goes while a new one is being loaded', async () => {
    await visit('1')
    deploy('2')
    // the page of the new build has come, the first of its files too, the other has not
    expect(await get('/', 'navigate')).toBe(pageOf('2'))
    await get('/assets/staff-2.js')
    online = false
    expect(await get('/', 'navigate')).toBe(pageOf('1'))
    for (const file of FILES_OF('1')) expect(await get(file)).toBe(file)
  })

  test('lets go of the build before once the new one is there, and of nothing of the other page', async () => {
    await visit('1')
    await get('/member/', 'navigate')
    await tell('/member/', MEMBER_FILES)
    deploy('2')
    await visit('2')
    online = false
    expect(await get('/', 'navigate')).toBe(pageOf('2'))
    expect(await get('/assets/receive-2.js')).toBe('/assets/receive-2.js')
    await expect(get('/assets/receive-1.js')).rejects.toThrow('no network')
    expect(await get('/member/', 'navigate')).toContain('member-1')
    expect(await get('/assets/member-1.js')).toBe('/assets/member-1.js')
  })

  test('keeps no page of a build whose files it has not been told of, nor one of whose files is gone', async () => {
    await visit('1')
    // an old page tells, while the mill has a new build
    deploy('2')
    await tell('/', FILES_OF('1'))
    // and the new build has lost a file
    served.delete('/assets/receive-2.js')
    expect(await get('/assets/receive-2.js')).toBe('404')
    await tell('/', FILES_OF('2'))
    online = false
    expect(await get('/', 'navigate')).toBe(pageOf('1'))
    for (const file of FILES_OF('1')) expect(await get(file)).toBe(file)
  })
})
