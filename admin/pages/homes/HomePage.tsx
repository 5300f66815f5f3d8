import type { ReactNode } from 'react'
import { formatDate } from '../../format/dates'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import '../../resources/batches/batches.css'
import './homes.css'
import { useHome, type Home } from './useHome'

type Named = { readonly ingredientNameEn: string; readonly ingredientNameSw: string }
type Fed = { readonly feedNameEn: string; readonly feedNameSw: string }

/** Names in the reader's language. */
export const useNames = () => {
  const { language } = useStaffWords()
  return {
    ingredient: (row: Named): string => (language === 'en' ? row.ingredientNameEn : row.ingredientNameSw),
    feed: (row: Fed): string => (language === 'en' ? row.feedNameEn : row.feedNameSw),
  }
}

export const OpenLink = ({ href, children, label, main }: { href: string; children: ReactNode; label?: string; main?: boolean }) => (
  <a className="k-button" data-kind={main ? 'main' : undefined} href={href} aria-label={label}>
    {children}
  </a>
)

type HomePageProps = {
  readonly title: StaffKey
  /** The heading is the children's own: something matters more than the day. */
  readonly ownHeading?: boolean
  readonly children: (home: Home) => ReactNode
}

/** The frame of every home: the day, then the answers. The day's page is there at once; figures come when they are known. */
export const HomePage = ({ title, ownHeading = false, children }: HomePageProps) => {
  const { t, language } = useStaffWords()
  const { data: home, error, refetch } = useHome()
  usePageTitle(t(title))
  return (
    <div className="k-page k-home">
      {!ownHeading && <h1>{formatDate(home?.at ?? new Date().toISOString(), language)}</h1>}
      {error && !home && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!home && !error && <Loading rows={5} />}
      {home && children(home)}
    </div>
  )
}
