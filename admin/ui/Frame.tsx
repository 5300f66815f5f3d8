import { Fragment, type ReactNode } from 'react'
import { useSharedWords } from '../i18n/words'
import { Icon } from './Shape'
import type { IconName } from './icons'
import { Mark, WovenStrip } from './Mark'
import './frame.css'

export type FrameEntry = {
  readonly href: string
  readonly label: string
  readonly icon: IconName
  readonly current: boolean
  /** Entries of one group follow each other; a desktop folds them under this name. */
  readonly group?: string | undefined
}

type FrameProps = {
  readonly home: string
  readonly tools: ReactNode
  readonly bar: readonly FrameEntry[]
  readonly more?: readonly FrameEntry[]
  readonly notice?: ReactNode
  readonly children: ReactNode
}

const NavLink = ({ entry }: { entry: FrameEntry }) => (
  <a className="k-nav-link" href={entry.href} aria-current={entry.current ? 'page' : undefined}>
    <Icon name={entry.icon} />
    <span>{entry.label}</span>
  </a>
)

type Group = { readonly name: string | undefined; readonly entries: readonly FrameEntry[] }

const grouped = (entries: readonly FrameEntry[]): readonly Group[] =>
  entries.reduce<Group[]>((groups, entry) => {
    const last = groups.at(-1)
    if (last === undefined || last.name !== entry.group) return [...groups, { name: entry.group, entries: [entry] }]
    return [...groups.slice(0, -1), { ...last, entries: [...last.entries, entry] }]
  }, [])

const Links = ({ entries }: { entries: readonly FrameEntry[] }) => entries.map((entry) => <NavLink key={entry.href} entry={entry} />)

/** One group at a time is open, at first the one of the page that is shown: the whole list fits a laptop's screen. */
const Fold = ({ name, entries }: { name: string; entries: readonly FrameEntry[] }) => (
  <details className="k-nav-fold" name="k-nav-fold" open={entries.some(({ current }) => current) || undefined}>
    <summary className="k-nav-link">
      <span>{name}</span>
      <svg className="k-nav-fold-mark" viewBox="0 0 12 12" aria-hidden>
        <path d="M2 4L6 8L10 4" />
      </svg>
    </summary>
    <div className="k-nav-folded">
      <Links entries={entries} />
    </div>
  </details>
)

/** Closes when the `page` shown is another. `ofBar` entries belong to the bar but find no room on a phone; on a desktop they stand with the others, before the line. */
const More = ({ entries, ofBar, page }: { entries: readonly FrameEntry[]; ofBar: number; page: string }) => {
  const { t } = useSharedWords()
  return (
    <>
      <details className="k-nav-more" key={page}>
        <summary className="k-nav-link">
          <Icon name="more" />
          <span>{t('action.more')}</span>
        </summary>
        <div className="k-nav-sheet">
          {grouped(entries).map(({ name, entries: ofGroup }) => (
            <Fragment key={name ?? ''}>
              {name !== undefined && <p className="k-nav-group">{name}</p>}
              <Links entries={ofGroup} />
            </Fragment>
          ))}
        </div>
      </details>
      <div className="k-nav-rest">
        <Links entries={entries.slice(0, ofBar)} />
        {entries.length > ofBar && <hr className="k-nav-line" />}
        {grouped(entries.slice(ofBar)).map(({ name, entries: ofGroup }) =>
          name === undefined ? <Links key="" entries={ofGroup} /> : <Fold key={name} name={name} entries={ofGroup} />,
        )}
      </div>
    </>
  )
}

/** Header with mark, strip and tools; the pages at the bottom of a phone, at the left of a desktop. */
export const Frame = ({ home, tools, bar, more = [], notice, children }: FrameProps) => {
  const { t } = useSharedWords()
  const inSheet = bar.length + (more.length > 0 ? 1 : 0) > 5 ? bar.slice(4) : []
  const page = [...bar, ...more].find(({ current }) => current)?.href ?? ''
  const onBar = inSheet.length > 0 ? bar.slice(0, 4) : bar
  return (
    <div className="k-frame">
      <a
        className="k-skip"
        href="#page"
        onClick={(event) => {
          event.preventDefault()
          document.getElementById('page')?.focus()
        }}
      >
        {t('ui.skip')}
      </a>
      <header className="k-shell-header">
        <div className="k-header-row">
          <a className="k-brand" href={home}>
            <Mark />
            <span>{t('mill.name')}</span>
          </a>
          <div className="k-tools">{tools}</div>
        </div>
        <WovenStrip />
      </header>
      <div className="k-frame-body">
        {bar.length > 0 && (
          <nav className="k-shell-nav" aria-label={t('ui.mainNavigation')}>
            <Links entries={onBar} />
            {(more.length > 0 || inSheet.length > 0) && <More entries={[...inSheet, ...more]} ofBar={inSheet.length} page={page} />}
          </nav>
        )}
        <main id="page" className="k-main" tabIndex={-1}>
          {notice}
          {children}
        </main>
      </div>
    </div>
  )
}
