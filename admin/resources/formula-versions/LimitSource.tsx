import { sourceTitle } from '#contract/source-titles'
import { useStaffWords } from '../../i18n/words'
import { KnownMark } from '../../ui/KnownBy'
import type { Version } from './versionForm'

export type Source = Version['limitSources'][number]

export const sameSource = (one: Source | undefined, other: Source | undefined): boolean =>
  one !== undefined && other !== undefined && one.source === other.source && one.seen === other.seen && one.fromTarget === other.fromTarget

/** The source that most limits of a version come from, to be said once; undefined where no two share one. */
export const commonSource = (sources: readonly Source[]): Source | undefined => {
  const published = sources.filter(({ seen }) => seen !== 'added' && seen !== 'changed')
  const shares = published.map((source) => ({ source, count: published.filter((other) => sameSource(source, other)).length }))
  const most = shares.reduce((best, one) => Math.max(best, one.count), 1)
  return most < 2 ? undefined : shares.find(({ count }) => count === most)?.source
}

/** Where a limit comes from: its text, read or from memory, or somebody's own change. */
export const LimitSource = ({ source, unsaved = false }: { source: Source | undefined; unsaved?: boolean }) => {
  const { t, language } = useStaffWords()
  if (unsaved) return <span className="k-limit-source">{t('limit.here')}</span>
  if (!source || source.seen === 'added') return <span className="k-limit-source">{t('limit.added')}</span>
  const published = sourceTitle(source.source, language)
  if (source.seen === 'changed') return <span className="k-limit-source">{t('limit.changed', { source: published })}</span>
  const read = source.seen === 'read'
  const title = source.fromTarget ? t('limit.target', { source: published }) : published
  return (
    <span className="k-limit-source">
      <KnownMark knownBy={read ? 'book' : 'memory'} />
      <span>{t(read ? 'limit.read' : 'limit.memory', { source: title })}</span>
    </span>
  )
}

/** The source that most limits share, said once above them. */
export const CommonSource = ({ source }: { source: Source }) => {
  const { t } = useStaffWords()
  return (
    <p className="k-limit-common k-caption">
      <LimitSource source={source} />
      {t('limit.unlessSaid')}
    </p>
  )
}
