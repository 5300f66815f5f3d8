import { memo, type ReactNode } from 'react'
import type { MixView } from '#contract/formulas'
import { formatAccount, formatPrice } from '../../format/money'
import { formatKg } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Row } from '../../ui/Card'
import { Figure } from '../../ui/Figure'
import { KnownBy } from '../../ui/KnownBy'
import { LimitCosts } from '../../ui/pictures/LimitCosts'
import { MixBars } from '../../ui/pictures/MixBars'
import { NutrientRails } from '../../ui/pictures/NutrientRails'
import { findingWords } from '../../ui/findingWords'
import { RefusalCard, type Finding } from '../../ui/RefusalCard'
import { Findings } from './Findings'
import { Fold } from './Fold'
import { conflictTold, type LimitWords } from './limitWords'
import { costsOfLimits, ingredientName, largestTold, leftOutLots, mixParts, nutrientRails, unlimitedNutrients } from './mixFigures'
import { useTold } from './useTold'
import './version.css'

const wholeTotal = (mix: MixView): string => formatPrice(mix.costTotal ?? '0')

type PartProps = { readonly mix: MixView; readonly words: LimitWords; readonly brief: boolean }
type NutrientsProps = PartProps & { readonly live: boolean }

/** A part of the answer under its heading; in a brief answer it waits behind it, in a live one the sentence of its picture says enough. */
const Part = ({ title, brief, live = false, children }: { title: string; brief: boolean; live?: boolean; children: ReactNode }) =>
  brief ? (
    <Fold title={title}>{children}</Fold>
  ) : (
    <section className="k-stack">
      <h3 className={live ? 'k-hidden' : undefined}>{title}</h3>
      {children}
    </section>
  )

const Unlimited = ({ mix, words }: Pick<PartProps, 'mix' | 'words'>) => {
  const others = unlimitedNutrients(mix, words)
  if (others.length === 0) return null
  return (
    <Fold title={words.t('mixture.others')}>
      <div>
        {others.map(({ key, name, value }) => (
          <Row key={key}>
            {name} <KnownBy value={value} />
          </Row>
        ))}
      </div>
    </Fold>
  )
}

const Nutrients = ({ mix, words, brief, live }: NutrientsProps) => {
  const { t } = words
  const rails = nutrientRails(mix, words)
  const edges = rails.filter(({ state }) => state === 'at-limit')
  const counted = { smart_count: edges.length, names: edges.map(({ name }) => name).join(', ') }
  const sentence = edges.length === 0 ? t('mixture.noneAtLimit') : t(live ? 'mixture.edges' : 'mixture.atLimits', counted)
  return (
    <Part title={t('mixture.nutrients')} brief={brief} live={live}>
      <NutrientRails rails={rails} sentence={sentence} compact={live} />
      {!live && <Unlimited mix={mix} words={words} />}
    </Part>
  )
}

const Costs = ({ mix, words, brief, live }: NutrientsProps) => {
  const { t } = words
  const costs = costsOfLimits(mix, words)
  // a fixed inclusion costs something too, but a nutrient is what one would ease
  const first = costs.find(({ key }) => key.startsWith('nutrient')) ?? costs[0]
  return (
    <Part title={t('mixture.costs')} brief={brief}>
      {first ? (
        <LimitCosts
          compact={live}
          costs={costs}
          sentence={t('mixture.costsMost', { name: first.name, from: first.from, to: first.to, money: first.savingText })}
        />
      ) : (
        <p>{t('mixture.noCosts')}</p>
      )}
    </Part>
  )
}

const Unused = ({ mix }: { mix: MixView }) => {
  const { t, language } = useStaffWords()
  if (mix.notUsed.length === 0) return null
  return (
    <details className="k-details">
      <summary>
        {t('mixture.unused')} ({mix.notUsed.length})
      </summary>
      {mix.notUsed.map((lot) => {
        const name = ingredientName(lot, language)
        const now = formatAccount(lot.pricePerKg)
        return (
          <Row key={lot.lotId}>
            <span className="k-strong">{lot.lotNumber === 0 ? name : t('mixture.unusedNamed', { name, lot: lot.lotNumber })}</span>
            <br />
            {lot.breakEvenPricePerKg === null
              ? t('mixture.neverEnters', { now })
              : t('mixture.enters', { price: formatAccount(lot.breakEvenPricePerKg), now })}
          </Row>
        )
      })}
    </details>
  )
}

const REASONS: ReadonlySet<string> = new Set([
  'no-stock',
  'no-worst-case',
  'unknown-either-side',
  'no-spread',
  'medicine',
  'medicine-not-declared',
  'for-other-feeds',
  'fails-check',
])

/** What the lot fails by, with both figures. */
const FailedCheck = ({ finding: { what, reasons } }: { finding: Finding }) => (
  <>
    {' '}
    {what}. {reasons.map((reason) => reason)}
  </>
)

const LeftOut = ({ mix, words }: { mix: MixView; words: LimitWords }) => {
  const { t, nameOf } = words
  const { language } = useStaffWords()
  const lots = leftOutLots(mix)
  if (lots.length === 0) return null
  const nutrientName = (id: string): string => (id === '' ? '' : t(`nutrient.${id}` as StaffKey))
  return (
    <details className="k-details" open={mix.kind === 'infeasible'}>
      <summary>
        {t('mixture.leftOut')} ({lots.length})
      </summary>
      {lots.map((lot) => (
        <Row key={lot.key}>
          <span className="k-strong">
            {lot.lotNumber === 0
              ? nameOf(lot.ingredientId)
              : t('mixture.leftOutLot', { lot: lot.lotNumber, name: nameOf(lot.ingredientId) })}
          </span>
          <br />
          {t(`mixture.reason.${REASONS.has(lot.reason) ? lot.reason : 'other'}` as StaffKey, {
            nutrients: lot.nutrients.map(nutrientName).join(', '),
          })}
          {lot.finding && <FailedCheck finding={findingWords(lot.finding, { t, language })} />}
        </Row>
      ))}
    </details>
  )
}

const NoMix = ({ mix, words }: { mix: MixView; words: LimitWords }) => {
  const { t } = words
  const limits = conflictTold(mix.conflict, words)
  return (
    <RefusalCard
      verdict="block"
      what={limits === '' ? t('mixture.noMixAlone') : t('mixture.noMix', { limits })}
      reasons={[]}
      next={<p>{t('mixture.noMixNext')}</p>}
    />
  )
}

const Failed = ({ mix, words }: { mix: MixView; words: LimitWords }) => {
  const { t } = words
  const reason = mix.reason === 'time-limit' || mix.reason === 'unbounded' ? mix.reason : 'other'
  return <RefusalCard verdict="warn" what={t('mixture.failed')} reasons={[t(`mixture.failedReason.${reason}`)]} />
}

type OptimalProps = NutrientsProps & { readonly explained: boolean }

const Optimal = ({ mix, words, brief, live, explained }: OptimalProps) => {
  const { t, language } = useStaffWords()
  const blocks = mix.findings.filter(({ severity }) => severity === 'block')
  const others = mix.findings.filter(({ severity }) => severity !== 'block')
  const parts = mixParts(mix, language)
  return (
    <>
      {!live && (
        <p className="k-mix-cost">
          <Figure value={formatPrice(mix.costPerTonne ?? '0')} unit={t('mixture.costTonne')} size="page" />
          <span>{t('mixture.costTotal', { cost: wholeTotal(mix), kg: formatKg(mix.batchKg, 0) })}</span>
        </p>
      )}
      {blocks.length > 0 && <Findings findings={blocks} />}
      <MixBars
        parts={parts}
        totalKg={mix.batchKg}
        totalCost={wholeTotal(mix)}
        sentence={live ? largestTold(parts, t) : undefined}
        compact={live}
      />
      {others.length > 0 && !live && <Findings findings={others} />}
      <Nutrients mix={mix} words={words} brief={brief} live={live} />
      {!explained && <Costs mix={mix} words={words} brief={brief} live={live} />}
      {!explained && <Unused mix={mix} />}
    </>
  )
}

type MixAnswerProps = {
  readonly mix: MixView
  readonly brief?: boolean
  /** Beside limits that are being changed: its cost stands above it, and its pictures are as low as they can be. */
  readonly live?: boolean
  /** What limits cost, and when unused lots enter, is told beside it. */
  readonly explained?: boolean
}

/** What stands behind a live answer: the warnings of the checks, nutrients without a limit, what could not be used. */
export const BehindMix = memo(function BehindMix({ mix }: { mix: MixView }) {
  const { words } = useTold()
  const checked = mix.findings.filter(({ severity }) => severity !== 'block')
  const warnings = checked.filter(({ severity }) => severity === 'warn').length
  return (
    <div>
      {mix.kind === 'optimal' && checked.length > 0 && (
        <Fold title={words.t('mixture.checks', { smart_count: warnings })}>
          <Findings findings={checked} />
        </Fold>
      )}
      {mix.kind === 'optimal' && <Unlimited mix={mix} words={words} />}
      <LeftOut mix={mix} words={words} />
    </div>
  )
})

/** The solver's answer, whichever it is: the mix with its picture, or why there is none. Where something is decided, in brief. */
export const MixAnswer = memo(function MixAnswer({ mix, brief = false, live = false, explained = false }: MixAnswerProps) {
  const { words } = useTold()
  return (
    <div className="k-stack">
      {mix.kind === 'optimal' && <Optimal mix={mix} words={words} brief={brief} live={live} explained={explained} />}
      {mix.kind === 'infeasible' && <NoMix mix={mix} words={words} />}
      {mix.kind === 'failed' && <Failed mix={mix} words={words} />}
      {!live && <LeftOut mix={mix} words={words} />}
    </div>
  )
})
