import type { GatePriceView } from '#contract/gate-price'
import { formatAccount } from '../../format/money'
import { formatFigure, formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { findingWords } from '../../ui/findingWords'
import { KnownBy } from '../../ui/KnownBy'
import { RefusalList } from '../../ui/RefusalCard'
import { Warning } from '../lots/WeightFields'
import { GateFeeds } from './GateFeeds'
import { gateSentence, gateShape, sparedSentence } from './gateSentence'
import { UseSteps } from './UseSteps'

type ViewProps = { readonly view: GatePriceView }

/** Whole, half, any of it, all or nothing, and the same at the moisture that people trade by. */
const Prices = ({ view }: ViewProps) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const price = (value: number | null): string => (value === null ? t('gate.never') : formatAccount(value, currency))
  const { agreedMoisturePct: agreed, wholeAtAgreed, breakEvenAtAgreed } = view
  const pct = formatPercent(agreed ?? 0)
  const rows = [
    [t('gate.whole'), price(view.whole)],
    [t('gate.half'), price(view.half)],
    [t('gate.breakEven'), price(view.breakEven)],
    [`${t('gate.average')} (${t('gate.averageHint')})`, price(view.average)],
    ...(agreed === null || (wholeAtAgreed ?? breakEvenAtAgreed) === (view.whole ?? view.breakEven)
      ? []
      : wholeAtAgreed === null
        ? [[t('gate.anyAtAgreed', { pct }), price(breakEvenAtAgreed)]]
        : [[t('gate.wholeAtAgreed', { pct }), price(wholeAtAgreed)]]),
  ]
  return (
    <dl className="k-gate-figures">
      {rows.map(([name, figure]) => (
        <div key={name} style={{ display: 'contents' }}>
          <dt>{name}</dt>
          <dd>{figure}</dd>
        </div>
      ))}
    </dl>
  )
}

/** What holds the answer back: wet goods, a short life, feed that cannot all be made. */
const Cautions = ({ view }: ViewProps) => {
  const { t } = useStaffWords()
  const { driedTo, driedKg, keeping } = view
  return (
    <>
      {driedTo !== null && (
        <Warning>{t('gate.drying', { pct: formatPercent(driedTo), kg: formatKg(view.kg, 0), left: formatKg(driedKg ?? '0', 0) })}</Warning>
      )}
      {keeping !== null && keeping.days === view.days && (
        <Warning>{t('gate.keepsShort', { days: t('unit.days', { smart_count: keeping.days }) })}</Warning>
      )}
      {view.feedPct < 100 && <Warning>{t('gate.notAllFeed', { pct: formatPercent(view.feedPct) })}</Warning>}
    </>
  )
}

const Believed = ({ view }: ViewProps) => {
  const { t } = useStaffWords()
  return (
    <Card title={t('gate.believed')}>
      {view.believed.map(({ nutrient, unit, value, sd, knownBy, bookValue }) => {
        const places = nutrient === 'AME' ? 0 : 1
        const figure = (number: number): string => formatFigure(number, places)
        return (
          <p key={nutrient}>
            {nutrient === 'moisture' ? t('finding.item.moisture') : t(`nutrient.${nutrient}`)}:{' '}
            <KnownBy
              value={{
                knownBy,
                unit,
                figure: value === null ? undefined : figure(value),
                spread: sd === null ? undefined : figure(1.96 * sd),
              }}
            />{' '}
            {bookValue !== null && <span className="k-caption">{t('gate.book', { figure: `${figure(bookValue)}\u00a0${unit}` })}</span>}
          </p>
        )
      })}
    </Card>
  )
}

const TO_BE_MADE: ReadonlySet<string> = new Set(['not-tested', 'required-test-missing'])
const isFound = ({ what }: GatePriceView['findings'][number]): boolean => !TO_BE_MADE.has(what.code)

/** What a rule found of the truck, as cards; tests that nobody could have made yet only as a number. */
const Rules = ({ view }: ViewProps) => {
  const { t, language } = useStaffWords()
  const told = view.findings.filter(isFound)
  const untested = view.findings.length - told.length
  if (view.findings.length === 0) return null
  return (
    <Card title={t('gate.rules')}>
      <RefusalList
        findings={told.map((finding) => {
          const { rule, ...words } = findingWords(finding, { t, language })
          return { ...words, ...(rule ? { rule: { ...rule, appliesTo: t('gate.theTruck') } } : {}) }
        })}
      />
      {untested > 0 && <p>{t('gate.untested', { smart_count: untested })}</p>}
    </Card>
  )
}

/** The answer in one sentence, then its figures, the picture, and the reasons. */
export const GateAnswer = ({ view }: ViewProps) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const spared = sparedSentence(view, { t, currency })
  // what a rule found stands before the money, what it could not know yet after it
  const found = view.findings.some(isFound)
  return (
    <div className="k-stack" role="region" aria-live="polite" aria-label={t('gate.title')}>
      <Card>
        <p className="k-gate-answer">
          <CheckShape verdict={gateShape(view)} size={32} />
          <span>{gateSentence(view, { t, currency })}</span>
        </p>
        {spared !== null && <p>{spared}</p>}
        <Cautions view={view} />
        {view.breakEven !== null && <Prices view={view} />}
        {!view.exact && <p className="k-caption">{t('gate.near')}</p>}
      </Card>
      {found && <Rules view={view} />}
      {view.breakEven !== null && (
        <Card>
          <UseSteps view={view} />
        </Card>
      )}
      {view.feeds.some(({ state }) => state !== null) && <GateFeeds view={view} />}
      <Believed view={view} />
      {!found && <Rules view={view} />}
    </div>
  )
}
