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
/** Files that a page names itself: the names of its programs carry a hash of all that they load in turn. */
const NAMED = /\/assets\/[^"'\s]+/g
const isProgram = (path: string): boolean => path.endsWith('.js')

type Page = '/' | '/member/'
const pageOf = (path: string): Page => (/^\/member(\/|$)/.test(path) ? '/member/' : '/')
/** Where the list of files that a kept page is made of lies, beside the page. */
const listOf = (page: Page): string => `${page}files-of-this-page`

/** From the mill; without a network as it was kept. Nothing is kept here: of a new build only the page would be there, and none of its files. */
const openPage = async (request: Request, page: Page): Promise<Response> => {
  try {
    return await fetch(request)
  } catch (cause) {
    const kept = await (await caches.open(PAGES)).match(page)
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

const filesOf = async (pages: Cache, page: Page): Promise<readonly string[]> => {
  const list = await pages.match(listOf(page))
  return list ? ((await list.json()) as string[]) : []
}

/** Files of no page that is kept belong to an older build. */
const dropOldFiles = async (pages: Cache): Promise<void> => {
  const wanted = new Set([...(await filesOf(pages, '/')), ...(await filesOf(pages, '/member/'))])
  const files = await caches.open(FILES)
  const old = (await files.keys()).filter(({ url }) => !wanted.has(new URL(url).pathname))
  await Promise.all(old.map((request) => files.delete(request)))
}

/**
 * Keeps a page once every file of it is there; until then the page of the build before opens, with its own files. Where the mill has a newer
 * build by now than the page that tells, nothing changes: that one tells on its next visit.
 */
const keepPage = async (path: string, told: readonly string[]): Promise<void> => {
  const page = pageOf(path)
  const pages = await caches.open(PAGES)
  const [fresh, before] = [await fetch(new Request(path)), await pages.match(page)]
  if (!fresh.ok || fresh.redirected) return
  const [text, textBefore] = [await fresh.clone().text(), await before?.text()]
  const named = [...text.matchAll(NAMED)].map(([file]) => file)
  if (named.filter(isProgram).some((file) => !told.includes(file))) return
  // of the same build it may have told of more on an earlier visit
  const files = new Set([...told, ...named, ...(text === textBefore ? await filesOf(pages, page) : [])])
  const answers = await Promise.all([...files].map((file) => openFile(new Request(file))))
  if (answers.some(({ ok }) => !ok)) return
  await pages.put(listOf(page), new Response(JSON.stringify([...files])))
  await pages.put(page, fresh)
  if (text !== textBefore) await dropOldFiles(pages)
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

// A page tells what it is made of once it has loaded it all.
worker.addEventListener('message', (event) => {
  const { page, files } = event.data
  event.waitUntil(keepPage(page, files))
})
