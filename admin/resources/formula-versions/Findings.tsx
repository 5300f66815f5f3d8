import type { FindingView } from '#contract/findings'
import { useStaffWords } from '../../i18n/words'
import { CheckWord } from '../../ui/CheckShape'
import { findingWords } from '../../ui/findingWords'
import { RefusalList } from '../../ui/RefusalCard'

/** What is against it as cards, blocks first; what passed only as a number. */
export const Findings = ({ findings }: { findings: readonly FindingView[] }) => {
  const { t, language } = useStaffWords()
  const trouble = findings.filter(({ severity }) => severity !== 'pass')
  const passed = findings.length - trouble.length
  return (
    <div className="k-stack">
      <RefusalList findings={trouble.map((finding) => findingWords(finding, { t, language }))} />
      {(passed > 0 || trouble.length === 0) && (
        <p className="k-row">
          <CheckWord verdict="pass" />
          {trouble.length === 0 ? t('formula.noTrouble') : t('formula.passes', { smart_count: passed })}
        </p>
      )}
    </div>
  )
}
