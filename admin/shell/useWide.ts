import { useSyncExternalStore } from 'react'

/** From this width on lists are tables and an answer stands beside what it answers. */
const WIDE = '(min-width: 900px)'

const subscribe = (changed: () => void): (() => void) => {
  const query = matchMedia(WIDE)
  query.addEventListener('change', changed)
  return () => query.removeEventListener('change', changed)
}

export const useWide = (): boolean => useSyncExternalStore(subscribe, () => matchMedia(WIDE).matches)
