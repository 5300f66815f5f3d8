import { useQueryClient } from '@tanstack/react-query'
import { useState, type FormEvent } from 'react'
import { useParams } from 'react-router-dom'
import type { z } from 'zod'
import type { StockChangeView } from '#contract/stock'
import { instantOf } from '../format/instants'
import { formatKg } from '../format/numbers'
import { readTyped } from '../format/typed'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { useLot, type LotDetail } from '../resources/lots/useLot'
import { signedKg } from '../resources/stock-proposals/proposalWords'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { CheckShape } from '../ui/CheckShape'
import { FailureBar, FieldError } from '../ui/Failure'
import { Field, NumberField } from '../ui/Field'
import { Loading } from '../ui/Waiting'

export type Kind = 'count' | 'writeOff' | 'return'
type Change = z.output<typeof StockChangeView>

/** How each of the three says its figures to the mill. */
const SENT = {
  count: { path: 'count', kg: 'countedKg', when: 'countedAt' },
  writeOff: { path: 'write-off', kg: 'kg', when: 'happenedAt' },
  return: { path: 'return', kg: 'kg', when: 'happenedAt' },
} as const

const recordedKg = (kind: Kind, { differenceKg }: Change): string =>
  kind === 'count' ? signedKg(differenceKg) : formatKg(differenceKg.replace('-', ''))

/** What came of it: recorded, agreeing, or waiting for the manager, and what is in the store now. */
const Outcome = ({ kind, change }: { kind: Kind; change: Change }) => {
  const { t } = useStaffWords()
  const number = change.lotNumber
  const missing = change.discrepancyNumber
  const told =
    change.outcome === 'waiting'
      ? t('stockChange.waiting', { number: change.proposalNumber ?? '', kg: signedKg(change.differenceKg) })
      : change.outcome === 'agrees'
        ? t('stockChange.count.agrees', { number })
        : t(`stockChange.${kind}.recorded`, { number, kg: recordedKg(kind, change) })
  const verdict = change.outcome === 'waiting' || missing !== null ? 'warn' : 'pass'
  return (
    <section className={`k-refusal k-${verdict}`} role="status">
      <p className="k-verdict-line k-strong">
        <CheckShape verdict={verdict} size={20} /> <span>{told}</span>
      </p>
      {missing !== null && <p>{t('stockChange.count.missing', { kg: formatKg(change.missingKg), number: missing })}</p>}
      <p className="k-tabular">{t('stockChange.afterwards', { kg: formatKg(change.onHandKg), reserved: formatKg(change.reservedKg) })}</p>
    </section>
  )
}

type Holders = readonly { readonly orderNumber: number; readonly kg: string }[]
const isHolders = (facts: unknown): facts is Holders => Array.isArray(facts) && facts.length > 0

const Form = ({ kind, lot, onDone }: { kind: Kind; lot: LotDetail; onDone: (change: Change) => void }) => {
  const { t } = useStaffWords()
  const { send, busy, problem, errorAt } = useAct()
  const [draft, setDraft] = useState({ kg: '', when: '', reason: '' })
  const sent = SENT[kind]
  const reading = readTyped(draft.kg)
  const submit = async (event: FormEvent) => {
    event.preventDefault()
    if (busy) return
    const kg = reading.kind === 'number' ? reading.text : draft.kg
    const when = draft.when === '' ? null : (instantOf(draft.when) ?? draft.when)
    const body = { [sent.kg]: kg, [sent.when]: when, reason: draft.reason.trim() }
    const change = await send<Change>({ method: 'POST', path: `/lots/${lot.id}/${sent.path}`, body })
    if (change) onDone(change)
  }
  const holders = problem?.fields.map(({ facts }) => facts?.['holders']).find(isHolders)
  const orders = holders?.map(({ orderNumber, kg }) => t('stockChange.holder', { number: orderNumber, kg: formatKg(kg) })).join('; ')
  const about = errorAt('id')
  return (
    <form className="k-stack" onSubmit={(event) => void submit(event)}>
      <p className="k-tabular">
        {Number(lot.reservedKg) > 0
          ? t('stockChange.books', { kg: formatKg(lot.onHandKg), reserved: formatKg(lot.reservedKg) })
          : t('stockChange.booksFree', { kg: formatKg(lot.onHandKg) })}
      </p>
      <NumberField
        id="change-kg"
        label={t(`stockChange.${kind}.kg`)}
        unit="kg"
        value={draft.kg}
        onChange={(kg) => setDraft({ ...draft, kg })}
        error={errorAt(sent.kg)}
        required
      />
      {orders && <p>{t('stockChange.holders', { orders })}</p>}
      <Field
        id="change-reason"
        label={t('stockChange.reason')}
        hint={t(`stockChange.${kind}.reasonHint`)}
        value={draft.reason}
        onChange={(reason) => setDraft({ ...draft, reason })}
        error={errorAt('reason')}
        rows={2}
        required
      />
      <Field
        id="change-when"
        label={t('stockChange.when')}
        hint={t('stockChange.whenHint')}
        type="datetime-local"
        value={draft.when}
        onChange={(when) => setDraft({ ...draft, when })}
        error={errorAt(sent.when)}
      />
      {kind !== 'return' && <p className="k-caption">{t('stockChange.large')}</p>}
      {about && <FieldError id="change-about">{about}</FieldError>}
      {problem && <FailureBar problem={problem} />}
      <div className="k-actions">
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('action.back')}
        </a>
        <Button submit kind="main" busy={busy}>
          {t(`stockChange.${kind}.button`)}
        </Button>
      </div>
    </form>
  )
}

/** One lot, one figure, one reason: what the store keeper enters with one hand. */
export const LotChange = ({ kind }: { kind: Kind }) => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const may = useMay()
  const cache = useQueryClient()
  const { lot, name, problem, again } = useLot(id)
  const [done, setDone] = useState<Change>()
  const title = lot ? t(`stockChange.${kind}.title`, { number: lot.number, name }) : t('lots.lot')
  usePageTitle(title)
  if (problem && !lot) return <FailureBar problem={problem} doing="load" onTryAgain={again} />
  if (!lot) return <Loading rows={4} />
  const finish = (change: Change) => {
    setDone(change)
    void cache.invalidateQueries()
  }
  return (
    <div className="k-page k-stack">
      <h1>{title}</h1>
      {!may('change', 'lots') && <p>{t('page.notYours')}</p>}
      {may('change', 'lots') && !done && <Form kind={kind} lot={lot} onDone={finish} />}
      {done && (
        <>
          <Outcome kind={kind} change={done} />
          <div className="k-actions">
            <a className="k-button" href={`#/lots/${lot.id}/show`}>
              {t('stockChange.toLot', { number: lot.number })}
            </a>
            {kind === 'count' && (
              <a className="k-button" data-kind="main" href="#/count">
                {t('stockChange.another')}
              </a>
            )}
          </div>
        </>
      )}
    </div>
  )
}
