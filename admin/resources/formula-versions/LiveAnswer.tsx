import { useState } from 'react'
import { formatPrice } from '../../format/money'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { NumberField } from '../../ui/Field'
import { Empty, Working } from '../../ui/Waiting'
import { Explained } from './Explained'
import { MixAnswer } from './MixAnswer'
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
  const mass = readTyped(batch)
  const batchKg = mass.kind === 'number' && Number(mass.text) > 0 ? mass.text : null
  const request: SolveRequest | null = asked && batchKg ? { stage, ...asked, batchKg, lots, ...readTrial(trial) } : null
  const before: SolveRequest | null = batchKg ? { stage, ...saved, batchKg, lots, ...readTrial(NO_TRIAL) } : null
  const changed = request !== null && JSON.stringify(request) !== JSON.stringify(before)
  const solved = useSolve(request)
  // the saved one is asked only once there is something to compare with it
  const compared = useSolve(changed ? before : null)
  return {
    ...solved,
    request,
    asked,
    lots,
    setLots,
    batch,
    setBatch,
    wrongBatch: batchKg === null && mass.kind === 'number',
    before: changed && compared.mix?.kind === 'optimal' ? compared.mix : undefined,
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
  return (
    <p role="status" className="k-strong">
      {t(`mixture.${word}`, { money, before: formatPrice(before.costPerTonne) })}
    </p>
  )
}

type LiveAnswerProps = {
  readonly state: LiveAnswerState
  readonly trial: Trial
  readonly onTrial: (trial: Trial) => void
  /** Sets a limit of the page to what the explanation names; missing where nothing can be changed. */
  readonly onSet?: (row: string, value: number) => void
}

/** The mix for the limits as they stand on the page, from the lots that are chosen here. */
export const LiveAnswer = ({ state, trial, onTrial, onSet }: LiveAnswerProps) => {
  const { t } = useStaffWords()
  const { mix, stale, working, problem, stop, again, asked, lots, setLots, batch, setBatch, wrongBatch, before } = state
  const tried = Object.keys(trial.prices).length + trial.without.length
  return (
    <section className="k-card k-answer-beside" aria-label={t('mixture.title')} tabIndex={0}>
      <h2>{t('mixture.title')}</h2>
      <div className="k-field" role="group" aria-label={t('mixture.fromLots')}>
        <span className="k-label">{t('mixture.fromLots')}</span>
        <div className="k-row">
          {LOTS.map((choice) => (
            <Button key={choice} pressed={choice === lots} kind={choice === lots ? 'main' : 'plain'} onPress={() => setLots(choice)}>
              {t(`mixture.lots.${choice}`)}
            </Button>
          ))}
        </div>
        <p className="k-readback-line">{t(`mixture.lotsTold.${lots}`)}</p>
      </div>
      <NumberField
        label={t('mixture.batch')}
        unit="kg"
        value={batch}
        onChange={setBatch}
        error={wrongBatch ? t('field.above0') : undefined}
      />
      {tried > 0 && (
        <div className="k-trial" role="status">
          <span>{t('mixture.trial', { smart_count: tried })}</span>
          <Button onPress={() => onTrial(NO_TRIAL)}>{t('mixture.backToToday')}</Button>
        </div>
      )}
      {!asked && <p role="status">{t(mix ? 'mixture.waits' : 'mixture.nothingYet')}</p>}
      {working && <Working what={t('mixture.working')} onStop={stop} />}
      {problem && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
      {!mix && !working && !problem && asked && <Empty>{t('mixture.nothingYet')}</Empty>}
      {mix && (
        <div className={stale ? 'k-answer k-stale' : 'k-answer'}>
          {stale && <p className="k-strong">{t('ui.stillBefore')}</p>}
          <Difference mix={mix} before={before} />
          <MixAnswer mix={mix} explained={onSet !== undefined} />
        </div>
      )}
      {onSet && mix && <Explained request={state.request} onSet={onSet} />}
    </section>
  )
}
