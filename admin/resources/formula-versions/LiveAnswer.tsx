import { useState } from 'react'
import { formatPrice } from '../../format/money'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { NumberField, SelectField } from '../../ui/Field'
import { Figure } from '../../ui/Figure'
import { Empty } from '../../ui/Waiting'
import { BeforeChange, SlowWork } from './AskedAnswer'
import { Explained } from './Explained'
import { sureNutrients } from './mixFigures'
import { BehindMix, MixAnswer } from './MixAnswer'
import { useSolve, type LotsChoice, type SolveRequest } from './useSolve'
import { NO_TRIAL, readTrial, type Limits, type Medication, type Trial } from './versionForm'

const LOTS: readonly LotsChoice[] = ['released', 'in-store', 'book']
const FIRST_BATCH_KG = '1000'

type Asked = { readonly limits: Limits; readonly medication: Medication | null }
type AnswerOf = { readonly stage: string; readonly asked: Asked | null; readonly saved: Asked; readonly trial: Trial }

/** The mix of what stands on the page and is tried, and that of the version as it was saved, to compare with. */
export const useLiveAnswer = ({ stage, asked, saved, trial }: AnswerOf) => {
  const [lots, setLots] = useState<LotsChoice>('released')
  const [batch, setBatch] = useState(FIRST_BATCH_KG)
  const [compares, setCompares] = useState(false)
  const mass = readTyped(batch)
  const batchKg = mass.kind === 'number' && Number(mass.text) > 0 ? mass.text : null
  const request: SolveRequest | null = asked && batchKg ? { stage, ...asked, batchKg, lots, ...readTrial(trial) } : null
  const before: SolveRequest | null = batchKg ? { stage, ...saved, batchKg, lots, ...readTrial(NO_TRIAL) } : null
  const changed = request !== null && JSON.stringify(request) !== JSON.stringify(before)
  const solved = useSolve(request)
  // the saved one is asked only once something to compare with it stands on the page, so that it never delays an answer
  if (changed && solved.mix && !solved.stale && !compares) setCompares(true)
  const compared = useSolve(compares ? before : null)
  return {
    ...solved,
    request,
    asked,
    lots,
    setLots,
    batch,
    setBatch,
    wrongBatch: batchKg === null && mass.kind === 'number',
    before: changed && !compared.stale && compared.mix?.kind === 'optimal' ? compared.mix : undefined,
  }
}
export type LiveAnswerState = ReturnType<typeof useLiveAnswer>

/** How much dearer or cheaper a tonne is than the version as it was saved, at the prices and lots of now. */
const Difference = ({ mix, before }: Pick<LiveAnswerState, 'mix' | 'before'>) => {
  const { t } = useStaffWords()
  if (!before?.costPerTonne || !mix?.costPerTonne) return null
  const difference = Number(mix.costPerTonne) - Number(before.costPerTonne)
  const money = formatPrice(Math.abs(difference).toFixed(2))
  const word = Math.abs(difference) < 0.5 ? 'same' : difference > 0 ? 'dearer' : 'cheaper'
  return <p className="k-strong">{t(`mixture.${word}`, { money, before: formatPrice(before.costPerTonne) })}</p>
}

/** What a tonne costs, against what was saved, and how surely the limits hold. */
const Headline = ({ mix, before }: Pick<LiveAnswerState, 'mix' | 'before'>) => {
  const { t } = useStaffWords()
  if (mix?.kind !== 'optimal') return null
  const sure = sureNutrients(mix, t)
  return (
    <div role="status" className="k-headline">
      <Figure value={formatPrice(mix.costPerTonne ?? '0')} unit={t('mixture.costTonne')} size="page" />
      <Difference mix={mix} before={before} />
      <p>{sure.length === 0 ? t('mixture.onAverage') : t('mixture.surely', { names: sure.join('; ') })}</p>
    </div>
  )
}

const ANSWER = 'answer'

/** What a tonne costs, always in sight on a phone, and the way to the rest of the answer. */
export const AnswerLine = ({ state: { mix } }: { state: LiveAnswerState }) => {
  const { t } = useStaffWords()
  if (!mix) return null
  const cost = mix.costPerTonne ? `${formatPrice(mix.costPerTonne)} ${t('mixture.costTonne')}` : t('picture.noMix')
  return (
    <button type="button" className="k-answer-line" onClick={() => document.getElementById(ANSWER)?.focus()}>
      <span className="k-strong">{cost}</span> <span>{t('mixture.title')}</span>
    </button>
  )
}

/** From which lots, and how much at once. */
const From = ({ state: { lots, setLots, batch, setBatch, wrongBatch } }: { state: LiveAnswerState }) => {
  const { t } = useStaffWords()
  return (
    <div className="k-answer-from">
      <SelectField
        label={t('mixture.fromLots')}
        value={lots}
        onChange={(value) => setLots(LOTS.find((one) => one === value) ?? 'released')}
        choices={LOTS.map((value) => ({ value, label: t(`mixture.lots.${value}`) }))}
      />
      <NumberField
        label={t('mixture.batch')}
        unit="kg"
        value={batch}
        onChange={setBatch}
        error={wrongBatch ? t('field.above0') : undefined}
      />
      {lots !== 'released' && <p className="k-caption">{t(`mixture.lotsTold.${lots}`)}</p>}
    </div>
  )
}

type LiveAnswerProps = {
  readonly state: LiveAnswerState
  readonly trial: Trial
  readonly onTrial: (trial: Trial) => void
  /** Sets a limit of the page to what the explanation names; missing where nothing can be changed. */
  readonly onSet?: (row: string, value: number) => void
  /** When the feed is needed, where that is known. */
  readonly neededOn?: string | null
}

/** The mix for the limits as they stand on the page, from the lots that are chosen here. */
export const LiveAnswer = ({ state, trial, onTrial, onSet, neededOn = null }: LiveAnswerProps) => {
  const { t } = useStaffWords()
  const { mix, stale, working, problem, stop, again, asked, before } = state
  const tried = Object.keys(trial.prices).length + trial.without.length
  return (
    <section id={ANSWER} className="k-card k-answer-beside" aria-label={t('mixture.title')} tabIndex={0}>
      <h2>{t('mixture.title')}</h2>
      <Headline mix={mix} before={before} />
      <From state={state} />
      {tried > 0 && (
        <div className="k-trial" role="status">
          <span>{t('mixture.trial', { smart_count: tried })}</span>
          <Button onPress={() => onTrial(NO_TRIAL)}>{t('mixture.backToToday')}</Button>
        </div>
      )}
      {!asked && <p role="status">{t(mix ? 'mixture.waits' : 'mixture.nothingYet')}</p>}
      <SlowWork working={working} what={t('mixture.working')} onStop={stop} />
      {problem && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
      {!mix && !working && !problem && asked && <Empty>{t('mixture.nothingYet')}</Empty>}
      {mix && (
        <BeforeChange stale={stale}>
          <MixAnswer mix={mix} live explained={onSet !== undefined} />
        </BeforeChange>
      )}
      {onSet && mix && <Explained request={state.request} onSet={onSet} neededOn={neededOn} />}
      {mix && <BehindMix mix={mix} />}
    </section>
  )
}
