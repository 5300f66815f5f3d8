import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { z } from 'zod'
import type { StockProofView } from '#contract/stock'
import { formatDate, formatTime } from '../format/dates'
import { formatExactKg, formatNumber } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { accountWords, kindWords } from '../resources/stock-movements/movementWords'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card, Row } from '../ui/Card'
import { CheckShape } from '../ui/CheckShape'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

type Proof = z.output<typeof StockProofView>

/** So many letters of the seal are enough to tell two apart, and few enough to write down. */
const SEAL_LETTERS = 16
/** The end of an id tells movements apart; its beginning is only the time. */
const LETTERS_OF_ID = 12

const Verdict = ({ proof }: { proof: Proof }) => {
  const { t, language } = useStaffWords()
  const verdict = proof.whole ? 'pass' : 'block'
  return (
    <section className={`k-refusal k-${verdict}`}>
      <h2 className="k-refusal-what">
        <CheckShape verdict={verdict} size={32} />
        <span className="k-refusal-thing">{t(proof.whole ? 'proof.whole' : 'proof.broken')}</span>
      </h2>
      <p>{t('proof.at', { when: `${formatDate(proof.at, language)} ${formatTime(proof.at)}` })}</p>
    </section>
  )
}

const Sums = ({ proof }: { proof: Proof }) => {
  const { t } = useStaffWords()
  const count = (value: number): string => formatNumber(value, 0)
  const history =
    proof.auditBrokenAt === null
      ? t('proof.historyWhole', { smart_count: proof.auditEntries })
      : t(proof.auditFault === 'row-changed' ? 'proof.historyChanged' : 'proof.historyBroken', { number: proof.auditBrokenAt })
  return (
    <Card title={t('proof.sums')}>
      <dl className="k-facts k-tabular">
        <dt>{t('proof.sum')}</dt>
        <dd className="k-strong">{formatExactKg(proof.sumKg)}</dd>
        <dt>{t('proof.unbalanced')}</dt>
        <dd>{count(proof.unbalancedTransfers)}</dd>
        <dt>{t('proof.transfers')}</dt>
        <dd>{t('proof.transfersValue', { transfers: count(proof.transfers), entries: count(proof.entries) })}</dd>
        <dt>{t('proof.lots')}</dt>
        <dd>{count(proof.lots)}</dd>
        <dt>{t('proof.bags')}</dt>
        <dd>{count(proof.bagDifferences.length)}</dd>
        <dt>{t('proof.history')}</dt>
        <dd>{history}</dd>
        {proof.auditHead !== '' && (
          <>
            <dt>{t('proof.seal')}</dt>
            <dd>
              <code>{proof.auditHead.slice(0, SEAL_LETTERS)}</code>
              <p className="k-caption">{t('proof.sealHint')}</p>
            </dd>
          </>
        )}
      </dl>
    </Card>
  )
}

const Differences = ({ proof }: { proof: Proof }) => {
  const { t, language } = useStaffWords()
  const lines = [
    ...proof.unbalancedMovements.map((movement) =>
      t('proof.movementBroken', {
        kind: kindWords(movement.kind, t),
        when: `${formatDate(movement.happenedAt, language)} ${formatTime(movement.happenedAt)}`,
        who: movement.actor,
        lots: movement.lotNumbers.join(', '),
        entries: movement.entries,
        sum: formatExactKg(movement.sumKg),
        id: movement.id.slice(-LETTERS_OF_ID),
      }),
    ),
    ...proof.lotDifferences.map((lot) =>
      lot.onHandKg === lot.ledgerOnHandKg
        ? t('proof.lotReserved', {
            number: lot.lotNumber,
            reserved: formatExactKg(lot.reservedKg),
            ledger: formatExactKg(lot.ledgerReservedKg),
          })
        : t('proof.lotDiffers', { number: lot.lotNumber, onHand: formatExactKg(lot.onHandKg), ledger: formatExactKg(lot.ledgerOnHandKg) }),
    ),
    ...proof.bagDifferences.map((bag) =>
      t('proof.bagDiffers', { number: bag.batchNumber, onHand: formatExactKg(bag.onHandKg), ledger: formatExactKg(bag.ledgerKg) }),
    ),
  ]
  if (lines.length === 0) return null
  return (
    <Card title={t('proof.differences')}>
      {lines.map((line) => (
        <Row key={line}>{line}</Row>
      ))}
    </Card>
  )
}

const Accounts = ({ proof }: { proof: Proof }) => {
  const { t } = useStaffWords()
  return (
    <Card title={t('proof.accounts')}>
      <table className="k-table">
        <thead>
          <tr>
            <th scope="col">{t('proof.account')}</th>
            <th scope="col" data-align="right">
              {t('proof.kg')}
            </th>
          </tr>
        </thead>
        <tbody>
          {proof.accounts.map(({ account, kg }) => (
            <tr key={account}>
              <td>{accountWords(account, t)}</td>
              <td data-align="right">{formatExactKg(kg)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="k-caption">{t('proof.minus')}</p>
    </Card>
  )
}

const StockProof = () => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  usePageTitle(t('proof.title'))
  const { data, error, isPending, refetch } = useQuery({
    queryKey: ['stock-proof'],
    queryFn: () => mill.act<Proof>('GET', '/stock-proof'),
  })
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('proof.title')}</h1>
        <div className="k-row">
          <a className="k-button" href="#/stock-movements">
            {t('ledger.title')}
          </a>
          <Button onPress={() => refetch()}>{t('proof.again')}</Button>
        </div>
      </div>
      <p>{t('proof.lead')}</p>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => refetch()} />}
      {isPending && <Loading rows={4} />}
      {data && (
        <>
          <Verdict proof={data} />
          <Differences proof={data} />
          <div className="k-columns">
            <Sums proof={data} />
            <Accounts proof={data} />
          </div>
        </>
      )}
    </div>
  )
}

export default StockProof
