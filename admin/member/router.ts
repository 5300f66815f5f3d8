import { useSyncExternalStore } from 'react'

/** A path behind `#`: the page works from any address and a reload keeps the place. */
const read = (): string => location.hash.replace(/^#/, '') || '/'

const subscribe = (listener: () => void): (() => void) => {
  addEventListener('hashchange', listener)
  return () => removeEventListener('hashchange', listener)
}

export const usePath = (): string => useSyncExternalStore(subscribe, read, () => '/')

export const goTo = (path: string): void => {
  location.hash = path
}

/** The values of `:name` parts when the path fits the pattern, else null: ("/orders/:id", "/orders/7") gives { id: "7" }. */
export const matchPath = (pattern: string, path: string): Readonly<Record<string, string>> | null => {
  const wanted = pattern.split('/')
  const parts = (path.split('?')[0] ?? '').split('/')
  if (wanted.length !== parts.length) return null
  const found: Record<string, string> = {}
  for (const [index, part] of wanted.entries()) {
    const actual = parts[index] ?? ''
    if (part.startsWith(':') && actual !== '') found[part.slice(1)] = decodeURIComponent(actual)
    else if (part !== actual) return null
  }
  return found
}
