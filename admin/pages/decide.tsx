import { useStaffWords } from '../i18n/words'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Card } from '../ui/Card'
import { FailureBar } from '../ui/Failure'
import { Empty, Loading } from '../ui/Waiting'
import { DecisionRow, type Decision } from './homes/decisions'
import { useHome } from './homes/useHome'

/** In the order in which waiting costs most: birds first, then what the day needs. */
const KINDS = [
  ['release-lot', 'decide.lots'],
  ['discrepancy', 'decide.discrepancies'],
  ['stock-proposal', 'stockChange.proposals.title'],
  ['plan-order', 'decide.orders'],
  ['approve-version', 'decide.versions'],
  ['find-sheets', 'blankSheet.findTitle'],
] as const satisfies readonly (readonly [Decision['kind'], string])[]

/** Everything that waits for this person, each with its one action. */
const Decide = () => {
  const { t } = useStaffWords()
  const { data: home, error, refetch } = useHome()
  usePageTitle(t('decide.title'))
  const of = (kind: Decision['kind']): Decision[] => (home?.decide ?? []).filter((decision) => decision.kind === kind)
  return (
    <div className="k-page">
      <h1>{t('decide.title')}</h1>
      {error && !home && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!home && !error && <Loading rows={5} />}
      {home && home.decide.length > 0 && <p>{t('decide.waits', { smart_count: home.decide.length })}</p>}
      {home?.decide.length === 0 && <Empty>{t('decide.nothing')}</Empty>}
      {KINDS.filter(([kind]) => of(kind).length > 0).map(([kind, title]) => (
        <Card key={kind} title={`${t(title)} (${of(kind).length})`}>
          <div>
            {of(kind).map((decision) => (
              <DecisionRow key={decision.id} decision={decision} />
            ))}
          </div>
        </Card>
      ))}
    </div>
  )
}

export default Decide
