import type { z } from 'zod'
import type { SafetyRuleView } from '#contract/requirements'
import { sourceTitle } from '#contract/source-titles'
import { withUnit } from '../../format/numbers'
import { en } from '../../i18n/en'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { ListSelect } from '../../shell/ListSelect'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { CheckWord } from '../../ui/CheckShape'
import { Empty } from '../../ui/Waiting'
import { Seen } from '../requirements/RequirementList'
import { countryName, JURISDICTIONS } from './country'
import '../lots/lots.css'

type Rule = z.output<typeof SafetyRuleView>

const slug = (topic: string): string => topic.toLowerCase().replace(/[^a-z]+/g, '-')

/** Topics as the table spells them, for the filter; most are their own slug with spaces. */
const SPELLINGS: Readonly<Record<string, string>> = {
  'calcium-phosphorus': 'calcium:phosphorus',
  'carry-over': 'carry-over',
  'taint-salt-cost': 'taint, salt, cost',
}
const TOPICS = Object.keys(en.rules.topics).map((key) => ({ key, topic: SPELLINGS[key] ?? key.replaceAll('-', ' ') }))

const useRuleWords = () => {
  const { t } = useStaffWords()
  const topicName = (topic: string): string => {
    const key = `rules.topics.${slug(topic)}`
    const words = t(key as StaffKey)
    return words === key ? topic : words
  }
  const SIDES: Readonly<Record<string, StaffKey>> = {
    '<=': 'rules.atMost',
    '>=': 'rules.atLeast',
    '==': 'rules.equal',
    in: 'rules.within',
    not_with: 'rules.notWith',
  }
  const limit = ({ operator, limit: figure, unit }: Rule): string => {
    const key = SIDES[operator]
    const shown = unit === '' ? figure : withUnit(figure, unit)
    return key ? t(key, { limit: shown }) : `${operator} ${shown}`
  }
  return { topicName, limit }
}

const Whole = ({ rule }: { rule: Rule }) => {
  const { t } = useStaffWords()
  const parts = [
    [t('rules.applies'), rule.appliesTo.replaceAll('|', ', ')],
    [t('rules.protects'), rule.protects],
    [t('rules.action'), rule.action],
    [t('rules.country'), countryName(rule.jurisdiction, t)],
    [t('shelf.note'), rule.note],
  ] as const
  return (
    <details className="k-fold">
      <summary>{t('rules.details')}</summary>
      <dl className="k-facts" lang="en">
        {parts
          .filter(([, text]) => text !== '')
          .flatMap(([name, text]) => [<dt key={name}>{name}</dt>, <dd key={`${name} text`}>{text}</dd>])}
      </dl>
    </details>
  )
}

const SafetyRuleList = () => {
  const { t, language } = useStaffWords()
  const { topicName, limit } = useRuleWords()
  usePageTitle(t('rules.title'))
  const here = ({ inForceHere }: Rule): string => t(inForceHere ? 'rules.here' : 'rules.notHere')
  const columns: ListColumn<Rule>[] = [
    { key: 'severity', title: t('rules.severity'), sortBy: 'severity', cell: (row) => <CheckWord verdict={row.severity} /> },
    { key: 'topic', title: t('rules.topic'), sortBy: 'topic', cell: (row) => topicName(row.topic) },
    {
      key: 'item',
      title: t('rules.item'),
      cell: (row) => (
        <>
          <span lang="en">{row.item}</span>: <span className="k-strong k-tabular">{limit(row)}</span>
          <Whole rule={row} />
        </>
      ),
    },
    {
      key: 'here',
      title: t('rules.country'),
      sortBy: 'jurisdiction',
      cell: (row) => (
        <>
          {countryName(row.jurisdiction, t)} <span className="k-caption">{here(row)}</span>
        </>
      ),
    },
    {
      key: 'source',
      title: t('shelf.source'),
      cell: (row) => (
        <>
          <span lang="en">{sourceTitle(row.source, language)}</span> <Seen seen={row.seen} />
        </>
      ),
    },
    { key: 'rule', title: t('rules.rule'), sortBy: 'id', cell: (row) => row.id },
  ]
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('rules.title')}</h1>
        <a className="k-button" href="#/coccidiostats">
          {t('rules.coccidiostats')}
        </a>
      </div>
      <p>
        {t('rules.lead')} {t('shelf.asWritten')}
      </p>
      <ServerList<Rule>
        resource="safety-rules"
        sort={{ field: 'id', order: 'ASC' }}
        search
        tools={
          <div className="k-tools-row">
            <ListSelect
              name="topic"
              label={t('rules.topic')}
              choices={TOPICS.map(({ key, topic }) => ({ value: topic, label: t(`rules.topics.${key}` as StaffKey) }))}
            />
            <ListSelect
              name="jurisdiction"
              label={t('rules.country')}
              choices={JURISDICTIONS.map((value) => ({ value, label: countryName(value, t) }))}
            />
          </div>
        }
        filters={[
          { key: 'block', label: t('verdict.block'), filter: { severity: 'block' } },
          { key: 'warn', label: t('verdict.warn'), filter: { severity: 'warn' } },
          { key: 'read', label: t('shelf.read'), filter: { seen: 'read' } },
          { key: 'memory', label: t('shelf.memory'), filter: { seen: 'memory' } },
        ]}
        columns={columns}
        card={(row) => (
          <>
            <span className="k-row k-between">
              <CheckWord verdict={row.severity} /> <span className="k-caption">{row.id}</span>
            </span>
            <span className="k-strong">
              {topicName(row.topic)}: <span lang="en">{row.item}</span>, {limit(row)}
            </span>
            <span className="k-caption">
              {countryName(row.jurisdiction, t)}, {here(row)}; <span lang="en">{sourceTitle(row.source, language)}</span>
            </span>
            <Seen seen={row.seen} />
            <Whole rule={row} />
          </>
        )}
        empty={<Empty>{t('rules.empty')}</Empty>}
      />
    </div>
  )
}

export default SafetyRuleList
