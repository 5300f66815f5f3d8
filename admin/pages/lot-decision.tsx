import { useQueryClient } from '@tanstack/react-query'
import type { ReactNode } from 'react'
import { useNavigate, useParams } from 'react-router-dom'
import { useStaffWords } from '../i18n/words'
import { useLot, type LotDetail } from '../resources/lots/useLot'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

type About = { readonly lot: LotDetail; readonly name: string }

type Decision = {
  readonly title: (about: About) => string
  /** While the lot is not known yet. */
  readonly untitled: string
  /** In words, why it cannot be done now or not by this person; null where it can, or where the page itself tells. */
  readonly why?: (about: About) => string | null
  readonly children: (lot: LotDetail, title: string) => ReactNode
}

export const LotLink = ({ lot: { id, number } }: { lot: LotDetail }) => {
  const { t } = useStaffWords()
  return (
    <a className="k-button" href={`#/lots/${id}/show`}>
      {t('release.toLot', { number })}
    </a>
  )
}

/** A decision about a lot follows to what was made of it: said before it is made, since nobody sees those lots here. */
export const MadeOfIt = ({ lot, goes }: { lot: LotDetail; goes: 'alsoHeld' | 'alsoLimited' }) => {
  const { t } = useStaffWords()
  const made = lot.children.filter(({ status }) => status === 'released' || status === 'used-up')
  const lots = made.map(({ number }) => number).join(', ')
  return made.length === 0 ? null : <p>{t(`derived.${goes}`, { lots, smart_count: made.length })}</p>
}

/** The page of one decision about one lot: the lot is read first, and a decision that cannot be made is told in words. */
export const LotDecision = ({ title: titleOf, untitled, why: whyOf, children }: Decision) => {
  const { id = '' } = useParams()
  const { lot, name, problem, again } = useLot(id)
  const title = lot ? titleOf({ lot, name }) : untitled
  usePageTitle(title)
  if (problem && !lot) return <FailureBar problem={problem} doing="load" onTryAgain={again} />
  if (!lot) return <Loading rows={4} />
  const why = whyOf?.({ lot, name }) ?? null
  if (why === null) return children(lot, title)
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <p>{why}</p>
      <div>
        <LotLink lot={lot} />
      </div>
    </div>
  )
}

/** Sends a decision with the revision that was read, reads everything anew, and goes to the lot or to what `next` names under it. */
export const useLotDecision = (lot: LotDetail, verb: string) => {
  const navigate = useNavigate()
  const cache = useQueryClient()
  const { send, problem, errorAt } = useAct()
  const goTo = (next: string) => void navigate(`/lots/${lot.id}/${next}`)
  return {
    problem,
    /** What no field shows. */
    elsewhere: problem?.fields.length === 0 ? problem : undefined,
    errorAt,
    back: () => goTo('show'),
    decide: async (body: object, next = 'show') => {
      const done = await send({ method: 'POST', path: `/lots/${lot.id}/${verb}`, body, revision: lot.revision })
      await cache.invalidateQueries()
      if (done) goTo(next)
    },
  }
}
