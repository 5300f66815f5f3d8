import type { LimitWords } from './limitWords'
import { toldLimits } from './toldLimits'
import type { Limits } from './versionForm'

const byKey = (limits: Limits, words: LimitWords): ReadonlyMap<string, string> =>
  new Map(
    Object.entries(toldLimits(limits, words)).flatMap(([section, told]) =>
      told.map(({ key, sentence }): [string, string] => [`${section} ${key}`, sentence]),
    ),
  )

/** What another version changes, one sentence each: moved, new, no longer. */
export const limitChanges = (before: Limits, after: Limits, words: LimitWords): string[] => {
  const { t } = words
  const was = byKey(before, words)
  const is = byKey(after, words)
  const moved = [...is].flatMap(([key, now]) => {
    const old = was.get(key)
    if (old === now) return []
    return [old === undefined ? t('formula.changeAdded', { limit: now }) : t('formula.changeMoved', { before: old, after: now })]
  })
  const gone = [...was].flatMap(([key, old]) => (is.has(key) ? [] : [t('formula.changeRemoved', { limit: old })]))
  return [...moved, ...gone]
}
