import { useState } from 'react'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { NumberField } from '../../ui/Field'
import { Empty, Working } from '../../ui/Waiting'
import { MixAnswer } from './MixAnswer'
import { useSolve, type LotsChoice } from './useSolve'
import type { Limits, Medication } from './versionForm'

const LOTS: readonly LotsChoice[] = ['released', 'in-store', 'book']
const FIRST_BATCH_KG = '1000'

type LiveAnswerProps = {
  readonly stage: string
  /** Null: what is typed cannot be read as limits now. */
  readonly asked: { readonly limits: Limits; readonly medication: Medication | null } | null
}

/** The mix for the limits as they stand on the page, from the lots that are chosen here. */
export const LiveAnswer = ({ stage, asked }: LiveAnswerProps) => {
  const { t } = useStaffWords()
  const [lots, setLots] = useState<LotsChoice>('released')
  const [batch, setBatch] = useState(FIRST_BATCH_KG)
  const mass = readTyped(batch)
  const batchKg = mass.kind === 'number' && Number(mass.text) > 0 ? mass.text : null
  const { mix, stale, working, problem, stop, again } = useSolve(asked && batchKg ? { stage, ...asked, batchKg, lots } : null)
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
        error={batchKg === null && mass.kind === 'number' ? t('field.above0') : undefined}
      />
      {!asked && <p role="status">{t(mix ? 'mixture.waits' : 'mixture.nothingYet')}</p>}
      {working && <Working what={t('mixture.working')} onStop={stop} />}
      {problem && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
      {!mix && !working && !problem && asked && <Empty>{t('mixture.nothingYet')}</Empty>}
      {mix && (
        <div className={stale ? 'k-answer k-stale' : 'k-answer'}>
          {stale && <p className="k-strong">{t('ui.stillBefore')}</p>}
          <MixAnswer mix={mix} />
        </div>
      )}
    </section>
  )
}
