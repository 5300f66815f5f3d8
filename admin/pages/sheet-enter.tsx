import { useState, type FormEvent } from 'react'
import { useGetList } from 'react-admin'
import { useNavigate, useSearchParams } from 'react-router-dom'
import { judgeTimes, readSheetCode } from '#core/sheets/sheet'
import { instantOf } from '../format/instants'
import { useStaffWords } from '../i18n/words'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { becameOf, momentTold, type Sheet } from '../resources/sheets/sheetWords'
import { withSheet } from '../resources/sheets/useFromSheet'
import { useMayEnter } from '../resources/sheets/useMayEnter'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { FailureBar } from '../ui/Failure'
import { Field } from '../ui/Field'

const PAGE_OF = { receiving: '/enter-sheet/receiving', weighing: '/enter-sheet/weighing', collection: '/enter-sheet/collection' } as const

/** A sheet that takes nothing more says by whom and when, and what it became. */
const Closed = ({ sheet }: { sheet: Sheet }) => {
  const words = useStaffWords()
  const { t, language } = words
  const became = becameOf(sheet, words)
  return (
    <p role="status">
      {sheet.state === 'entered'
        ? t('blankSheet.closedEntered', {
            code: sheet.code,
            who: sheet.enteredBy ?? '',
            when: momentTold(sheet.enteredAt ?? '', language),
          })
        : t('blankSheet.closedSpoiled', {
            code: sheet.code,
            who: sheet.spoiledBy ?? '',
            when: momentTold(sheet.spoiledAt ?? '', language),
            reason: sheet.spoiledReason ?? '',
          })}{' '}
      {became && <a href={became.href}>{became.what}</a>}
    </p>
  )
}

/** A sheet of a kind that this person cannot book: who can. */
const NotYours = ({ sheet }: { sheet: Sheet }) => {
  const { t } = useStaffWords()
  return <p role="status">{t('blankSheet.notYours', { code: sheet.code, who: t(`blankSheet.enteredOnlyBy.${sheet.kind}`) })}</p>
}

/** What is wrong with the time, or what comes of it, before a long form is filled in for nothing. */
const useTimeTold = (sheet: Sheet | undefined, at: string | undefined): { fault?: string; note?: string } => {
  const { t, language } = useStaffWords()
  if (at === undefined) return { fault: t('blankSheet.whenFault') }
  if (sheet === undefined) return {}
  const now = new Date()
  const judged = judgeTimes({ printedAt: new Date(sheet.printedAt), happenedAt: new Date(at), enteredAt: now })
  switch (judged.kind) {
    case 'in-the-future':
      return { fault: t('blankSheet.whenAhead', { now: momentTold(now.toISOString(), language) }) }
    case 'before-printed':
      return { fault: t('blankSheet.whenBefore', { code: sheet.code, when: momentTold(sheet.printedAt, language) }) }
    case 'late':
      return { note: t('blankSheet.whenLate', { days: judged.days }) }
    case 'good':
      return {}
    default:
      return judged satisfies never
  }
}

const Form = ({ code }: { code: string }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const mayEnter = useMayEnter()
  const [typed, setTyped] = useState(code)
  const [clock, setClock] = useState('')
  const [asked, setAsked] = useState(false)
  const read = readSheetCode(typed)
  const { data, error, refetch } = useGetList<Sheet>(
    'blank-sheets',
    { filter: { q: typed.trim() }, pagination: { page: 1, perPage: 1 }, sort: { field: 'number', order: 'DESC' } },
    { enabled: read !== null },
  )
  const sheet = read === null ? undefined : data?.[0]
  const open = sheet?.state === 'printed' ? sheet : undefined
  const at = instantOf(clock)
  const { fault, note } = useTimeTold(open, at)
  const next = (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (open && at !== undefined && fault === undefined) void navigate(withSheet(PAGE_OF[open.kind], { sheet: open.code, at }))
  }
  const codeFault = read === null ? asked && t('blankSheet.codeFault') : data?.length === 0 && t('blankSheet.codeUnknown')
  const takesMore = sheet === undefined || (open !== undefined && mayEnter(open.kind))
  return (
    <>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      <Card>
        <form className="k-stack k-form" onSubmit={next} noValidate>
          <Field
            label={t('blankSheet.code')}
            hint={t('blankSheet.codeHint')}
            value={typed}
            onChange={setTyped}
            autoComplete="off"
            error={codeFault || undefined}
            required
          />
          {sheet && <p className="k-strong">{`${sheet.code}: ${t(`blankSheet.kind.${sheet.kind}`)}`}</p>}
          {sheet && !open && <Closed sheet={sheet} />}
          {open && !takesMore && <NotYours sheet={open} />}
          {takesMore && (
            <>
              <Field
                label={t('blankSheet.when')}
                hint={t('blankSheet.whenHint')}
                type="datetime-local"
                value={clock}
                onChange={setClock}
                error={asked ? fault : undefined}
                required
              />
              {note && <p role="status">{note}</p>}
              <Button submit kind="main" wide>
                {t('blankSheet.next')}
              </Button>
            </>
          )}
        </form>
      </Card>
    </>
  )
}

/** Which sheet, and when it happened; then the form of its kind. */
const SheetEnter = () => {
  const { t } = useStaffWords()
  const [params] = useSearchParams()
  const code = params.get('sheet') ?? ''
  usePageTitle(t('blankSheet.enterTitle'))
  return (
    <div className="k-page">
      <h1>{t('blankSheet.enterTitle')}</h1>
      <p>{t('blankSheet.enterLead')}</p>
      {/* another sheet in the address is another form */}
      <Form key={code} code={code} />
    </div>
  )
}

export default SheetEnter
