/** How long a page has for its own work before the files of the next are fetched. */
const QUIET_MS = 3_000

const loadedFiles = (): string[] =>
  performance
    .getEntriesByType('resource')
    .map(({ name }) => new URL(name))
    .filter(({ origin, pathname }) => origin === location.origin && pathname.startsWith('/assets/'))
    .map(({ pathname }) => pathname)

/**
 * From the second visit on the page opens without a network. `pages` loads what is loaded only when it is gone to, so that it is there
 * when the network is not.
 */
export const openWithoutNetwork = (page: '/' | '/member/', pages: () => Promise<unknown> = () => Promise.resolve()): void => {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return
  const prepare = async (): Promise<void> => {
    if (!navigator.onLine) return
    await navigator.serviceWorker.register('/worker.js')
    const { active } = await navigator.serviceWorker.ready
    await pages()
    active?.postMessage({ page, files: loadedFiles() })
  }
  addEventListener('load', () => {
    // a browser that keeps nothing (a private window) needs the network, as before
    setTimeout(() => void prepare().catch(() => undefined), QUIET_MS)
  })
}
