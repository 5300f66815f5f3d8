import { formatAccount } from '../../format/money'
import { useStaffWords } from '../../i18n/words'
import { findingWords } from '../../ui/findingWords'
import { RefusalCard } from '../../ui/RefusalCard'
import { Pictogram } from '../../ui/Shape'
import { sortFeeds, type Feed, type Offer } from './orderModel'

type ChooseFeedProps = { readonly offer: Offer; readonly value: string; readonly onChange: (versionId: string) => void }

const Choice = ({ feed, chosen, onChoose }: { feed: Feed; chosen: boolean; onChoose: () => void }) => {
  const { t, language } = useStaffWords()
  return (
    <label className="k-choice" data-chosen={chosen || undefined}>
      <input type="radio" name="feed" checked={chosen} onChange={onChoose} />
      <span>
        <span className="k-strong">
          {language === 'en' ? feed.nameEn : feed.nameSw}
          {feed.proposed && ` (${t('counter.proposed')})`}
        </span>
        <span className="k-tabular">{t('order.perKg', { price: formatAccount(feed.pricePerKg) })}</span>
        {feed.medicated && (
          <span>
            <Pictogram name="pill" size={20} /> {t('order.medicated')}
          </span>
        )}
      </span>
    </label>
  )
}

/** Why the other feeds are not for these birds, each with the rule that says so. */
const Refused = ({ feeds }: { feeds: readonly Feed[] }) => {
  const { t, language } = useStaffWords()
  if (feeds.length === 0) return null
  return (
    <details className="k-details">
      <summary>
        {t('counter.refused')} ({feeds.length})
      </summary>
      <div className="k-stack">
        {feeds.map((feed) => (
          <div key={feed.formulaVersionId} className="k-stack">
            <h3>{language === 'en' ? feed.nameEn : feed.nameSw}</h3>
            {feed.findings
              .filter(({ severity }) => severity === 'block')
              .map((finding) => (
                <RefusalCard key={`${finding.ruleId}${finding.what.code}`} {...findingWords(finding, { t, language })} />
              ))}
          </div>
        ))}
      </div>
    </details>
  )
}

/** The feed for the age of the birds stands first; what would harm them cannot be chosen, and says why. */
export const ChooseFeed = ({ offer, value, onChange }: ChooseFeedProps) => {
  const { t } = useStaffWords()
  const { open, refused } = sortFeeds(offer.feeds)
  return (
    <fieldset className="k-field">
      <legend>{t('counter.feed')}</legend>
      {!open.some(({ proposed }) => proposed) && <p>{t('counter.notProposed')}</p>}
      <div className="k-stack">
        {open.map((feed) => (
          <Choice
            key={feed.formulaVersionId}
            feed={feed}
            chosen={feed.formulaVersionId === value}
            onChoose={() => onChange(feed.formulaVersionId)}
          />
        ))}
        <Refused feeds={refused} />
      </div>
    </fieldset>
  )
}
