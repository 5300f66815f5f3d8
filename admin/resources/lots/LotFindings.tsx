import type { FindingView } from '#contract/findings'
import type { ReactNode } from 'react'
import { useStaffWords } from '../../i18n/words'
import { findingWords } from '../../ui/findingWords'
import { RefusalCard } from '../../ui/RefusalCard'

type FindingsProps = {
  readonly findings: readonly FindingView[]
  /** Buttons for what can be done about one; its sentence stands beside them. */
  readonly actions?: (finding: FindingView) => ReactNode
}

/** What stands against a lot as cards, blocks first; what passed is folded away with its number. */
export const LotFindings = ({ findings, actions }: FindingsProps) => {
  const words = useStaffWords()
  const { t } = words
  const against = findings.filter(({ severity }) => severity !== 'pass')
  const passed = findings.filter(({ severity }) => severity === 'pass')
  return (
    <>
      {against.map((finding, index) => {
        const shown = findingWords(finding, words)
        return (
          <RefusalCard
            key={`${finding.ruleId} ${index}`}
            {...shown}
            next={
              <>
                {actions?.(finding)}
                <span>{shown.next}</span>
              </>
            }
          />
        )
      })}
      {passed.length > 0 && (
        <details className="k-fold">
          <summary>{t('lots.passed', { smart_count: passed.length })}</summary>
          <div className="k-stack">
            {passed.map((finding, index) => (
              <RefusalCard key={`${finding.ruleId} ${index}`} {...findingWords(finding, words)} />
            ))}
          </div>
        </details>
      )}
    </>
  )
}
