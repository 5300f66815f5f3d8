import type { MillView } from '#contract/mill'
import { formatNumber } from '../../format/numbers'
import { useMemberWords } from '../../i18n/words'
import { Choice } from '../../ui/Choice'
import { findingWords } from '../../ui/findingWords'
import { RefusalCard, RefusalList } from '../../ui/RefusalCard'
import { Pictogram } from '../../ui/Shape'
import { feedName, formatTotal, isBlocked, priceOf, type Feed, type Offer } from '../model'

type FeedsProps = {
  readonly offer: Offer
  readonly mill: MillView
  readonly value: string
  readonly onChange: (versionId: string) => void
}

/** The feed that is ordered: name, price of a bag, what is said against it. */
export const ChosenFeed = ({ feed, bagKg, mill }: { feed: Feed; bagKg: string; mill: MillView }) => {
  const { t, language } = useMemberWords()
  const warnings = feed.findings.filter(({ severity }) => severity === 'warn')
  return (
    <div className="k-stack">
      <div>
        <h2 className="m-answer">{feedName(feed, language)}</h2>
        {feed.proposed && <p className="k-caption">{t('member.order.proposed')}</p>}
        {feed.medicated && (
          <p className="k-strong">
            <Pictogram name="pill" /> {t('medicine.medicated')}
          </p>
        )}
        <p className="k-tabular">
          {t('member.order.perBag', {
            price: formatTotal(priceOf(bagKg, feed.pricePerKg), mill.currency),
            size: formatNumber(bagKg, 0),
          })}
        </p>
      </div>
      {warnings.length > 0 && <RefusalList findings={warnings.map((finding) => findingWords(finding, { t, language }))} />}
    </div>
  )
}

const RefusedFeed = ({ feed }: { feed: Feed }) => {
  const { t, language } = useMemberWords()
  const [worst] = feed.findings.filter(({ severity }) => severity === 'block')
  if (!worst) return null
  const words = findingWords(worst, { t, language })
  return <RefusalCard {...words} what={feedName(feed, language)} reasons={[words.what, ...words.reasons]} next={t('finding.next.flock')} />
}

/** Below the proposed feed: others that are allowed, then those that a safety check keeps from these birds, each with its reason. */
export const OtherFeeds = ({ offer, mill, value, onChange }: FeedsProps) => {
  const { t, language } = useMemberWords()
  const allowed = offer.feeds.filter((feed) => !isBlocked(feed)).sort((a, b) => Number(b.proposed) - Number(a.proposed))
  const refused = offer.feeds.filter(isBlocked)
  const perBag = (feed: Feed) => formatTotal(priceOf(offer.bagKg, feed.pricePerKg), mill.currency)
  const others = allowed.filter(({ proposed }) => !proposed).length
  return (
    <>
      {others > 0 && (
        <details className="m-details">
          <summary>{t('member.order.others', { smart_count: others })}</summary>
          <Choice
            label={t('member.order.feed')}
            value={value}
            onChange={onChange}
            choices={allowed.map((feed) => ({ value: feed.formulaVersionId, label: `${feedName(feed, language)}, ${perBag(feed)}` }))}
          />
        </details>
      )}
      {refused.length > 0 && (
        <details className="m-details">
          <summary>{t('member.order.notAllowed', { smart_count: refused.length })}</summary>
          <div className="k-stack">
            {refused.map((feed) => (
              <RefusedFeed key={feed.formulaVersionId} feed={feed} />
            ))}
          </div>
        </details>
      )}
    </>
  )
}
