import { SHEET_KINDS } from '#core/sheets/sheet'
import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { factsKg, kindWords } from '../../resources/discrepancies/discrepancyWords'
import { signedKg } from '../../resources/stock-proposals/proposalWords'
import { Row } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { OpenLink } from './HomePage'
import type { Home } from './useHome'

export type Decision = Home['decide'][number]
const text = (fact: string | number | null | undefined): string => (fact === null || fact === undefined ? '' : String(fact))

const HREF: Readonly<Record<Decision['kind'], (id: string) => string>> = {
  'approve-version': (id) => `#/formula-versions/${id}/approve`,
  'release-lot': (id) => `#/lots/${id}/show`,
  discrepancy: (id) => `#/discrepancies/${id}/close`,
  'stock-proposal': (id) => `#/stock-proposals/${id}/decide`,
  'plan-order': (id) => `#/orders/${id}/plan`,
  'find-sheets': (id) => `#/blank-sheets?filter=${encodeURIComponent(JSON.stringify({ state: 'printed', kind: id }))}`,
}
const ACTION = {
  'approve-version': 'decide.approve',
  'release-lot': 'decide.release',
  discrepancy: 'decide.close',
  'stock-proposal': 'stockChange.proposals.decide',
  'plan-order': 'decide.plan',
  'find-sheets': 'blankSheet.findAction',
} as const

/** What has to be decided, in one line of words and one of facts. */
const useDecisionWords = ({ kind, detail }: Decision): { readonly what: string; readonly told: string } => {
  const { t, language } = useStaffWords()
  const name = text(language === 'en' ? detail['nameEn'] : detail['nameSw'])
  switch (kind) {
    case 'approve-version':
      return {
        what: t('decide.version', { name, version: text(detail['version']) }),
        told: t('decide.by', { author: text(detail['author']) }),
      }
    case 'release-lot':
      return { what: t('decide.lot', { number: text(detail['number']), name }), told: formatKg(text(detail['kg'])) }
    case 'discrepancy': {
      const load = detail['batchNumber'] === null ? '' : t('load.named', { number: text(detail['batchNumber']) })
      const lot = detail['lotNumber'] === null ? '' : t('load.row.lotNumber', { number: text(detail['lotNumber']) })
      return {
        what: [load || lot, kindWords(text(detail['discrepancy']), t)].filter(Boolean).join(': '),
        told: factsKg(detail, t),
      }
    }
    case 'stock-proposal':
      return {
        what: t('stockChange.proposals.short', {
          kind: t(detail['of'] === 'count' ? 'stockChange.proposals.kind.count' : 'stockChange.proposals.kind.write-off'),
          lot: text(detail['lotNumber']),
        }),
        told: signedKg(text(detail['differenceKg'])),
      }
    case 'plan-order':
      return {
        what: t('decide.order', { number: text(detail['number']), member: text(detail['member']) }),
        told: t('decide.orderTold', { kg: formatKg(text(detail['kg']), 0), feed: name, date: formatDate(text(detail['dueOn']), language) }),
      }
    case 'find-sheets': {
      const of = SHEET_KINDS.find((known) => known === detail['of'])
      return {
        what: t('blankSheet.find', { kind: of === undefined ? '' : t(`blankSheet.kind.${of}`) }),
        told: t('blankSheet.findTold', {
          smart_count: Number(detail['count']),
          first: text(detail['first']),
          date: formatDate(text(detail['printedAt']), language),
        }),
      }
    }
    default:
      return kind satisfies never
  }
}

export const DecisionRow = ({ decision }: { decision: Decision }) => {
  const { t } = useStaffWords()
  const { what, told } = useDecisionWords(decision)
  const action = t(ACTION[decision.kind])
  return (
    <Row
      action={
        <OpenLink href={HREF[decision.kind](decision.id)} label={`${action}: ${what}`}>
          {action}
        </OpenLink>
      }
    >
      <span className="k-verdict-line">
        {decision.kind === 'discrepancy' && <CheckShape verdict="warn" size={20} />}
        <b>{what}</b>
      </span>
      {told && <span className="k-caption k-tabular">{told}</span>}
    </Row>
  )
}
