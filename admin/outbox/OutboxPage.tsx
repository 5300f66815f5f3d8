import { useState, type FormEvent } from 'react'
import type { FindingView } from '#contract/findings'
import { formatDate, formatTime } from '../format/dates'
import { useSharedWords, type SharedKey } from '../i18n/words'
import { useFaultWords } from '../shell/useFaultWords'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { Field } from '../ui/Field'
import { findingWords } from '../ui/findingWords'
import { useOnline } from '../ui/OfflineBar'
import { RefusalList } from '../ui/RefusalCard'
import { StateWord } from '../ui/StateWord'
import { Empty } from '../ui/Waiting'
import { sendAgain, sendNow, throwAway, useOutbox } from './outbox'
import './outbox.css'
import { mayCorrect, maySendAgain, mayThrowAway, type Entry, type Refusal } from './rules'

/** Where what the mill made of an entry can be looked at, by kind; the member's pages and the staff's have their own. */
export type Places = Readonly<Partial<Record<Entry['kind'], (id: string) => string>>>

const findingsOf = ({ body }: Refusal): readonly FindingView[] => {
  if (typeof body !== 'object' || body === null || !('facts' in body)) return []
  const { facts } = body
  if (typeof facts !== 'object' || facts === null || !('findings' in facts) || !Array.isArray(facts.findings)) return []
  return facts.findings as readonly FindingView[]
}

/** Why it was refused, in the words that its form would have used. */
const Why = ({ refusal }: { refusal: Refusal }) => {
  const { t, language } = useSharedWords()
  const faultWords = useFaultWords()
  const findings = findingsOf(refusal)
  if (refusal.code === 'sent-long-ago') return <p className="k-strong">{t('outbox.sentLongAgo')}</p>
  const byField = refusal.code === 'bad-input' && refusal.fields.length > 0
  return (
    <>
      {findings.length > 0 && <RefusalList findings={findings.map((finding) => findingWords(finding, { t, language }))} />}
      {findings.length === 0 && !byField && <p className="k-strong">{t(`problem.${refusal.code}` as SharedKey)}</p>}
      {byField && (
        <ul className="k-strong">
          {refusal.fields.map((field) => (
            <li key={`${field.path} ${field.code}`}>{faultWords(field)}</li>
          ))}
        </ul>
      )}
      {refusal.requestId && <p className="k-caption">{t('ui.requestNumber', { id: refusal.requestId })}</p>}
    </>
  )
}

const ThrowAway = ({ entry, onBack }: { entry: Entry; onBack: () => void }) => {
  const { t } = useSharedWords()
  const [reason, setReason] = useState('')
  const [tried, setTried] = useState(false)
  const empty = reason.trim() === ''
  const submit = (event: FormEvent) => {
    event.preventDefault()
    setTried(true)
    if (!empty) void throwAway(entry, reason.trim())
  }
  return (
    <form className="k-stack" onSubmit={submit} noValidate>
      <Field
        label={t('outbox.throwWhy')}
        hint={t('outbox.throwNote')}
        value={reason}
        onChange={setReason}
        error={tried && empty ? t('field.empty') : undefined}
      />
      <div className="k-actions">
        <Button onPress={onBack}>{t('action.back')}</Button>
        <Button submit kind="danger">
          {t('outbox.throwAway')}
        </Button>
      </div>
    </form>
  )
}

/** In the words of its kind; a number of samples picks the form for one or several. */
export const useEntryWords = (): ((entry: Entry) => string) => {
  const { t } = useSharedWords()
  return ({ kind, facts }) => t(`outbox.what.${kind}`, facts)
}

const Actions = ({ entry, onThrow }: { entry: Entry; onThrow: () => void }) => {
  const { t } = useSharedWords()
  return (
    <div className="k-actions">
      {mayCorrect(entry) && (
        <a className="k-button" data-kind="main" href={`#${entry.page}${entry.page.includes('?') ? '&' : '?'}entry=${entry.key}`}>
          {t('action.correct')}
        </a>
      )}
      {maySendAgain(entry) && <Button onPress={() => sendAgain(entry)}>{t('outbox.sendAgain')}</Button>}
      {mayThrowAway(entry) && <Button onPress={onThrow}>{t('outbox.throwAway')}</Button>}
    </div>
  )
}

const Sent = ({ entry, places }: { entry: Entry; places: Places }) => {
  const { t } = useSharedWords()
  const { kind, result } = entry
  const place = places[kind]
  if (result === null || place === undefined || kind === 'results' || kind === 'samples') return null
  return (
    <p>
      <a href={`#${place(result.id)}`}>{t(`outbox.made.${kind}`, { number: result.number ?? '' })}</a>
    </p>
  )
}

const OneEntry = ({ entry, places }: { entry: Entry; places: Places }) => {
  const { t, language } = useSharedWords()
  const wordsOf = useEntryWords()
  const [throwing, setThrowing] = useState(false)
  const { state, settledAt, enteredAt, refusal, reason, tries } = entry
  const time = settledAt === null ? '' : formatTime(settledAt)
  return (
    <li className="k-entry" data-state={state}>
      <div className="k-entry-head">
        <p className="k-strong">{wordsOf(entry)}</p>
        {state !== 'thrown-away' && <StateWord thing="entry" state={state} time={time} />}
      </div>
      <p className="k-caption">{t('outbox.entered', { date: formatDate(enteredAt, language), time: formatTime(enteredAt) })}</p>
      {state === 'on-this-phone' && tries > 0 && <p className="k-caption">{t('outbox.noAnswer')}</p>}
      {state === 'thrown-away' && <p>{t('outbox.thrownAway', { time, reason })}</p>}
      {state === 'refused' && refusal && <Why refusal={refusal} />}
      {state === 'sent' && <Sent entry={entry} places={places} />}
      {throwing && mayThrowAway(entry) ? (
        <ThrowAway entry={entry} onBack={() => setThrowing(false)} />
      ) : (
        mayThrowAway(entry) && <Actions entry={entry} onThrow={() => setThrowing(true)} />
      )}
    </li>
  )
}

const Leaving = ({ count, onSignOut }: { count: number; onSignOut: () => Promise<unknown> }) => {
  const { t } = useSharedWords()
  return (
    <Card title={t('outbox.leave.title')}>
      <p>{t('outbox.leave.note', { smart_count: count })}</p>
      <div className="k-actions">
        <a className="k-button" data-kind="main" href="#/outbox">
          {t('outbox.leave.stay')}
        </a>
        <Button icon="out" onPress={onSignOut}>
          {t('sign.out')}
        </Button>
      </div>
    </Card>
  )
}

type OutboxPageProps = {
  readonly places: Places
  /** Given: somebody wants to sign out, and is asked first. */
  readonly onSignOut?: (() => Promise<unknown>) | undefined
}

/** One's own entries on this phone: what needs a look, what waits, what was sent. */
export const OutboxPage = ({ places, onSignOut }: OutboxPageProps) => {
  const { t } = useSharedWords()
  const { listed, counts } = useOutbox()
  const online = useOnline()
  usePageTitle(t('outbox.title'))
  return (
    <div className="k-page">
      <h1>{t('outbox.title')}</h1>
      {onSignOut && <Leaving count={counts.waiting + counts.refused} onSignOut={onSignOut} />}
      {listed.length === 0 && <Empty>{t('outbox.empty')}</Empty>}
      {counts.waiting > 0 && <p>{t('outbox.intro')}</p>}
      {counts.waiting > 0 && online && (
        <div>
          <Button onPress={sendNow}>{t('outbox.sendNow')}</Button>
        </div>
      )}
      {listed.length > 0 && (
        <Card>
          <ol className="k-entries">
            {listed.map((entry) => (
              <OneEntry key={entry.seq} entry={entry} places={places} />
            ))}
          </ol>
        </Card>
      )}
    </div>
  )
}
