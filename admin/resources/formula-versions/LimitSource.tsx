import { sourceTitle } from '#contract/source-titles'
import { useStaffWords } from '../../i18n/words'
import { KnownMark } from '../../ui/KnownBy'
import type { Version } from './versionForm'

export type Source = Version['limitSources'][number]

/** Where a limit comes from: its text, read or from memory, or somebody's own change. */
export const LimitSource = ({ source, unsaved = false }: { source: Source | undefined; unsaved?: boolean }) => {
  const { t, language } = useStaffWords()
  if (unsaved) return <span className="k-limit-source">{t('limit.here')}</span>
  if (!source || source.seen === 'added') return <span className="k-limit-source">{t('limit.added')}</span>
  if (source.seen === 'changed')
    return <span className="k-limit-source">{t('limit.changed', { source: sourceTitle(source.source, language) })}</span>
  const read = source.seen === 'read'
  return (
    <span className="k-limit-source">
      <KnownMark knownBy={read ? 'book' : 'memory'} />
      <span>{t(read ? 'limit.read' : 'limit.memory', { source: sourceTitle(source.source, language) })}</span>
    </span>
  )
}
