import type { ReactNode } from 'react'
import { useSharedWords } from '../i18n/words'
import { CheckShape, type Verdict } from './CheckShape'

export type RuleSource = {
  readonly id: string
  /** Name of the text the rule stands in. */
  readonly source: string
  readonly read: boolean
  readonly appliesTo: string
  /** Absent: any country. */
  readonly country?: string | undefined
}

export type Finding = {
  readonly verdict: Verdict
  /** "Release of lot 44, maize". */
  readonly what: string
  /** Found, limit and how known, one sentence each. */
  readonly reasons: readonly ReactNode[]
  readonly rule?: RuleSource | undefined
  /** What can be done now: buttons and a sentence. Stands where the button that cannot work would have stood. */
  readonly next?: ReactNode
  readonly letPass?: { readonly by: string; readonly when: string; readonly reason: string } | undefined
}

const RuleLine = ({ rule, verdict }: { rule: RuleSource; verdict: Verdict }) => {
  const { t } = useSharedWords()
  const memory = rule.country === undefined && verdict === 'block' ? 'refusal.sourceMemoryBlocks' : 'refusal.sourceMemoryWarns'
  const read = rule.read ? t('refusal.sourceRead') : t(memory)
  const country = rule.country ? t('refusal.country', { country: rule.country }) : t('refusal.anyCountry')
  return (
    <p className="k-refusal-rule">
      {t('refusal.rule', { id: rule.id, source: `${rule.source} (${read})`, appliesTo: rule.appliesTo })}; {country}
    </p>
  )
}

/** The four lines of every block and warning: what, reason, source, what now. */
export const RefusalCard = ({ verdict, what, reasons, rule, next, letPass }: Finding) => {
  const { t } = useSharedWords()
  return (
    <section className={`k-refusal k-${verdict}`} aria-label={`${t(`verdict.${verdict}`)}: ${what}`}>
      <h3 className="k-refusal-what">
        <CheckShape verdict={verdict} size={28} />
        <span className="k-refusal-verdict">{t(`verdict.${verdict}`)}</span> <span className="k-refusal-thing">{what}</span>
      </h3>
      {reasons.map((reason, index) => (
        <p key={index} className="k-refusal-reason">
          {reason}
        </p>
      ))}
      {rule && <RuleLine rule={rule} verdict={verdict} />}
      {letPass && <p className="k-refusal-passed">{t('refusal.letPass', letPass)}</p>}
      {next && <div className="k-refusal-next">{next}</div>}
    </section>
  )
}

const ORDER: Readonly<Record<Verdict, number>> = { block: 0, warn: 1, pass: 2 }

/** Several findings, blocks first; within one verdict the caller's order stands (birds harmed, then money). */
export const RefusalList = ({ findings }: { findings: readonly Finding[] }) => (
  <div className="k-stack">
    {[...findings]
      .sort((a, b) => ORDER[a.verdict] - ORDER[b.verdict])
      .map((finding) => (
        <RefusalCard key={`${finding.verdict}${finding.what}${finding.rule?.id ?? ''}`} {...finding} />
      ))}
  </div>
)
