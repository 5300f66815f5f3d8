// Lets the console's two pages open without a network. It keeps those pages and the built files they are made of, whose names change with
// their content; it never touches an answer of the mill.

// a page's types do not know what a worker has besides
type Until = { readonly waitUntil: (work: Promise<unknown>) => void }
type Asked = Event & Until & { readonly request: Request; readonly respondWith: (answer: Promise<Response>) => void }
type Told = MessageEvent<{ readonly page: string; readonly files: readonly string[] }> & Until
type Worker = {
  readonly skipWaiting: () => Promise<void>
  readonly clients: { readonly claim: () => Promise<void> }
  readonly addEventListener: ((kind: 'install' | 'activate', on: (event: Event & Until) => void) => void) &
    ((kind: 'fetch', on: (event: Asked) => void) => void) &
    ((kind: 'message', on: (event: Told) => void) => void)
}
const worker = globalThis as unknown as Worker

const PAGES = 'kinu-pages'
const FILES = 'kinu-files'
/** Addresses that are no page: the same as in server/platform/http/console-files.ts. */
const NO_PAGE = /^\/(api|health|metrics|assets)(\/|$)/

const pageOf = (path: string): '/' | '/member/' => (/^\/member(\/|$)/.test(path) ? '/member/' : '/')

/** The newest page there is; a new build makes the files of the old one superfluous. */
const openPage = async (request: Request, page: '/' | '/member/'): Promise<Response> => {
  const pages = await caches.open(PAGES)
  const kept = await pages.match(page)
  try {
    const fresh = await fetch(request)
    if (!fresh.ok || fresh.redirected) return fresh
    const [text, before] = await Promise.all([fresh.clone().text(), kept?.clone().text()])
    if (text !== before) {
      if (before !== undefined) await caches.delete(FILES)
      await pages.put(page, fresh.clone())
    }
    return fresh
  } catch (cause) {
    if (kept) return kept
    throw cause
  }
}

const openFile = async (request: Request): Promise<Response> => {
  const files = await caches.open(FILES)
  const kept = await files.match(request)
  if (kept) return kept
  const fresh = await fetch(request)
  if (fresh.ok) await files.put(request, fresh.clone())
  return fresh
}

worker.addEventListener('install', (event) => event.waitUntil(worker.skipWaiting()))
worker.addEventListener('activate', (event) => event.waitUntil(worker.clients.claim()))

worker.addEventListener('fetch', (event) => {
  const { request } = event
  const { origin, pathname } = new URL(request.url)
  if (request.method !== 'GET' || origin !== location.origin) return
  if (request.mode === 'navigate' && !NO_PAGE.test(pathname)) event.respondWith(openPage(request, pageOf(pathname)))
  else if (pathname.startsWith('/assets/')) event.respondWith(openFile(request))
})

// The first page was loaded before this could see it: it tells what it is made of.
worker.addEventListener('message', (event) => {
  const { page, files } = event.data
  event.waitUntil(Promise.all([openPage(new Request(page), pageOf(page)), ...files.map((path) => openFile(new Request(path)))]))
})
