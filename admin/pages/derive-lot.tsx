import { useQueryClient } from '@tanstack/react-query'
import { useState, type FormEvent } from 'react'
import { useGetList } from 'react-admin'
import { useParams } from 'react-router-dom'
import type { LotView } from '#contract/lots'
import { gramsFromFloatKg, formatKg as exactKg } from '#core/quantity/mass'
import { differsTooMuch, expectedOf, LOSS_KINDS, MAKING_KINDS, type MakingKind } from '#core/stock/derived-lot'
import { instantOf } from '../format/instants'
import { formatKg } from '../format/numbers'
import { readTyped } from '../format/typed'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { reasonWords } from '../resources/lots/reasonWords'
import { useLot } from '../resources/lots/useLot'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { CheckShape } from '../ui/CheckShape'
import { Choice } from '../ui/Choice'
import { FailureBar, FieldError } from '../ui/Failure'
import { Field, NumberField, SelectField } from '../ui/Field'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

type Part = { readonly lot: LotView; readonly kg: string }
type Draft = {
  readonly got: string
  readonly lossKind: string
  readonly before: string
  readonly after: string
  readonly place: string
  readonly note: string
  readonly when: string
}
const EMPTY: Draft = { got: '', lossKind: '', before: '', after: '', place: '', note: '', when: '' }

const figureOf = (typed: string): number | null => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? Number(reading.text) : null
}
/** As the mill wants a weight: plain decimal text; what cannot be read goes as it is, so that the mill says what is wrong with it. */
const sentKg = (typed: string): string => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? reading.text : typed
}
const sumKg = (parts: readonly Part[]): number | null => {
  const figures = parts.map(({ kg }) => figureOf(kg))
  return figures.includes(null) ? null : figures.reduce<number>((sum, kg) => sum + (kg ?? 0), 0)
}
/** Differences of decimals are taken in whole grams: 0.3 - 0.1 is 0.2. */
const apart = (a: number, b: number): number => Math.round((a - b) * 1000) / 1000

const OtherLots = ({ parts, onAdd }: { parts: readonly Part[]; onAdd: (lot: LotView) => void }) => {
  const { t } = useStaffWords()
  const ingredientId = parts[0]?.lot.ingredientId ?? ''
  const { data = [] } = useGetList<LotView>('lots', {
    pagination: { page: 1, perPage: 50 },
    sort: { field: 'number', order: 'DESC' },
    filter: { status: 'released', ingredientId },
  })
  const others = data.filter((lot) => Number(lot.freeKg) > 0 && parts.every((part) => part.lot.id !== lot.id))
  if (others.length === 0) return <p className="k-caption">{t('derived.addNone')}</p>
  const words = ({ number, supplierName, madeBy, freeKg }: LotView): string =>
    t('derived.addLot', { number, from: madeBy === null ? supplierName : t(`derived.by.${madeBy}`), kg: formatKg(freeKg) })
  const add = (id: string) => {
    const chosen = others.find((lot) => lot.id === id)
    if (chosen) onAdd(chosen)
  }
  return (
    <SelectField label={t('derived.add')} value="" onChange={add} choices={others.map((lot) => ({ value: lot.id, label: words(lot) }))} />
  )
}

type FormProps = { readonly kind: MakingKind; readonly lot: LotView; readonly onDone: (made: LotView) => void }

const Form = ({ kind, lot, onDone }: FormProps) => {
  const { t } = useStaffWords()
  const { send, busy, problem, errorAt } = useAct()
  const [parts, setParts] = useState<readonly Part[]>([{ lot, kg: '' }])
  const [draft, setDraft] = useState(EMPTY)
  const change = (more: Partial<Draft>) => setDraft({ ...draft, ...more })
  const [taken, got, beforePct, afterPct] = [sumKg(parts), figureOf(draft.got), figureOf(draft.before), figureOf(draft.after)]
  const loss = taken === null || got === null ? 0 : apart(taken, got)
  const lossKind = loss < 0 ? 'not-explained' : loss === 0 || draft.lossKind === '' ? null : draft.lossKind
  const canSay = taken !== null && taken > 0 && beforePct !== null && afterPct !== null && afterPct < beforePct && beforePct <= 60
  const expected = canSay ? exactKg(expectedOf(gramsFromFloatKg(taken), { beforePct, afterPct })) : null
  const shouldBe = kind === 'drying' ? figureOf(expected ?? '') : taken
  const isFar = got !== null && got > 0 && shouldBe !== null && differsTooMuch(gramsFromFloatKg(got), gramsFromFloatKg(shouldBe))
  const submit = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    const body = {
      kind,
      inputs: parts.map((part) => ({ lotId: part.lot.id, kg: sentKg(part.kg) })),
      gotKg: sentKg(draft.got),
      lossKind,
      moistureBeforePct: kind === 'drying' ? beforePct : null,
      moistureAfterPct: kind === 'drying' ? afterPct : null,
      storagePlace: draft.place.trim(),
      happenedAt: draft.when === '' ? null : (instantOf(draft.when) ?? draft.when),
      note: draft.note.trim(),
    }
    const made = await send<LotView>({ method: 'POST', path: '/lots/made', body })
    if (made) onDone(made)
  }
  const about = errorAt('inputs')
  return (
    <form className="k-stack k-form" onSubmit={(event) => void submit(event)} noValidate>
      <p>{t('derived.effect')}</p>
      {parts.map((part, index) => (
        <div key={part.lot.id} className="k-stack">
          <NumberField
            id={`make-kg-${index}`}
            label={t('derived.taken', { number: part.lot.number })}
            hint={t('derived.takenHint', { kg: formatKg(part.lot.freeKg) })}
            unit="kg"
            value={part.kg}
            onChange={(kg) => setParts(parts.map((one) => (one === part ? { ...one, kg } : one)))}
            error={errorAt(`inputs.${index}.kg`) ?? errorAt(`inputs.${index}.lotId`)}
            required
          />
          {index > 0 && (
            <div>
              <Button onPress={() => setParts(parts.filter((one) => one !== part))}>
                {t('derived.remove', { number: part.lot.number })}
              </Button>
            </div>
          )}
        </div>
      ))}
      <OtherLots parts={parts} onAdd={(added) => setParts([...parts, { lot: added, kg: '' }])} />
      {about && <FieldError id="make-inputs">{about}</FieldError>}
      {kind === 'drying' && (
        <>
          <NumberField
            id="make-before"
            label={t('derived.moistureBefore')}
            unit="%"
            value={draft.before}
            onChange={(before) => change({ before })}
            error={errorAt('moistureBeforePct')}
            required
          />
          <NumberField
            id="make-after"
            label={t('derived.moistureAfter')}
            unit="%"
            value={draft.after}
            onChange={(after) => change({ after })}
            error={errorAt('moistureAfterPct')}
            required
          />
          {expected && (
            <p className="k-tabular" role="status">
              {t('derived.expected', { kg: formatKg(expected) })}
            </p>
          )}
        </>
      )}
      <NumberField
        id="make-got"
        label={t('derived.got')}
        unit="kg"
        value={draft.got}
        onChange={(typed) => change({ got: typed })}
        error={errorAt('gotKg')}
        required
      />
      {isFar && (
        <p className="k-verdict-line" role="status">
          <CheckShape verdict="warn" size={20} /> <span>{t('derived.far', { kg: formatKg(Math.abs(apart(got, shouldBe))) })}</span>
        </p>
      )}
      {loss < 0 && <p role="status">{t('derived.gained', { kg: formatKg(-loss) })}</p>}
      {loss > 0 && (
        <Choice
          id="make-loss"
          label={t('derived.lost', { kg: formatKg(loss) })}
          value={draft.lossKind}
          onChange={(chosen) => change({ lossKind: chosen })}
          choices={LOSS_KINDS.filter((word) => kind === 'drying' || word !== 'moisture').map((value) => ({
            value,
            label: t(`derived.lossKind.${value}`),
          }))}
          error={errorAt('lossKind')}
        />
      )}
      <Field
        id="make-place"
        label={t(kind === 'bin' ? 'derived.bin' : 'derived.place')}
        value={draft.place}
        onChange={(place) => change({ place })}
        error={errorAt('storagePlace')}
        required={kind === 'bin'}
      />
      <Field
        id="make-when"
        label={t('stockChange.when')}
        hint={t('stockChange.whenHint')}
        type="datetime-local"
        value={draft.when}
        onChange={(when) => change({ when })}
        error={errorAt('happenedAt')}
      />
      <Field
        id="make-note"
        label={t('derived.note')}
        value={draft.note}
        onChange={(note) => change({ note })}
        error={errorAt('note')}
        rows={2}
      />
      {problem && <FailureBar problem={problem} />}
      <div className="k-actions">
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('action.back')}
        </a>
        <Button submit kind="main" busy={busy}>
          {t(`derived.button.${kind}`)}
        </Button>
      </div>
    </form>
  )
}

const Done = ({ made }: { made: LotView }) => {
  const { t } = useStaffWords()
  const held = made.status === 'on-hold'
  return (
    <>
      <section className={`k-refusal k-${held ? 'warn' : 'pass'}`} role="status">
        <p className="k-verdict-line k-strong">
          <CheckShape verdict={held ? 'warn' : 'pass'} size={20} />{' '}
          <span>{t('derived.made', { number: made.number, kg: formatKg(made.netKg) })}</span>
        </p>
        {held && <p>{t('derived.onHold', { reason: reasonWords(made.statusReason, t) })}</p>}
      </section>
      <div className="k-actions">
        <a className="k-button" data-kind="main" href={`#/lots/${made.id}/show`}>
          {t('derived.toLot', { number: made.number })}
        </a>
      </div>
    </>
  )
}

/** Grinding, drying or heaping, as the store keeper does it: which lots, how much of each, and what the scale said afterwards. */
const DeriveLot = () => {
  const { t } = useStaffWords()
  const { id = '', kind: word = '' } = useParams()
  const kind = MAKING_KINDS.find((known) => known === word) ?? 'grinding'
  const may = useMay()
  const cache = useQueryClient()
  const { lot, name, problem, again } = useLot(id)
  const [done, setDone] = useState<LotView>()
  const title = lot ? t(`derived.title.${kind}`, { number: lot.number, name }) : t('lots.lot')
  usePageTitle(title)
  if (problem && !lot) return <FailureBar problem={problem} doing="load" onTryAgain={again} />
  if (!lot) return <Loading rows={4} />
  const possible = lot.status === 'released' && Number(lot.freeKg) > 0
  const finish = (made: LotView) => {
    setDone(made)
    void cache.invalidateQueries()
  }
  return (
    <div className="k-page k-stack">
      <h1>{title}</h1>
      {done && <Done made={done} />}
      {!done && !may('change', 'lots') && <p>{t('page.notYours')}</p>}
      {!done && may('change', 'lots') && !possible && <p>{t('derived.notPossible')}</p>}
      {!done && may('change', 'lots') && possible && <Form key={kind} kind={kind} lot={lot} onDone={finish} />}
    </div>
  )
}

export default DeriveLot
