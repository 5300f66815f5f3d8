import { useState, type FormEvent } from 'react'
import { useGetList } from 'react-admin'
import { useNavigate, useSearchParams } from 'react-router-dom'
import { readSheetCode } from '#core/sheets/sheet'
import { instantOf } from '../format/instants'
import { useStaffWords } from '../i18n/words'
import { asProblem } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { becameOf, momentTold, type Sheet } from '../resources/sheets/sheetWords'
import { withSheet } from '../resources/sheets/useFromSheet'
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

/** Which sheet, and when it happened; then the form of its kind. */
const SheetEnter = () => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const [params] = useSearchParams()
  const [typed, setTyped] = useState(params.get('sheet') ?? '')
  const [clock, setClock] = useState('')
  const [asked, setAsked] = useState(false)
  usePageTitle(t('blankSheet.enterTitle'))
  const read = readSheetCode(typed)
  const { data, error, refetch } = useGetList<Sheet>(
    'blank-sheets',
    { filter: { q: typed.trim() }, pagination: { page: 1, perPage: 1 }, sort: { field: 'number', order: 'DESC' } },
    { enabled: read !== null },
  )
  const sheet = read === null ? undefined : data?.[0]
  const at = instantOf(clock)
  const next = (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (sheet?.state === 'printed' && at !== undefined) void navigate(withSheet(PAGE_OF[sheet.kind], { sheet: sheet.code, at }))
  }
  const unknown = (asked && read === null) || (read !== null && data?.length === 0)
  return (
    <div className="k-page">
      <h1>{t('blankSheet.enterTitle')}</h1>
      <p>{t('blankSheet.enterLead')}</p>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      <Card>
        <form className="k-stack k-form" onSubmit={next} noValidate>
          <Field
            label={t('blankSheet.code')}
            hint={t('blankSheet.codeHint')}
            value={typed}
            onChange={setTyped}
            autoComplete="off"
            error={unknown ? t('blankSheet.codeUnknown') : undefined}
            required
          />
          {sheet && <p className="k-strong">{`${sheet.code}: ${t(`blankSheet.kind.${sheet.kind}`)}`}</p>}
          {sheet && sheet.state !== 'printed' && <Closed sheet={sheet} />}
          <Field
            label={t('blankSheet.when')}
            hint={t('blankSheet.whenHint')}
            type="datetime-local"
            value={clock}
            onChange={setClock}
            error={asked && at === undefined ? t('blankSheet.whenFault') : undefined}
            required
          />
          {sheet?.state !== 'entered' && sheet?.state !== 'spoiled' && (
            <Button submit kind="main" wide>
              {t('blankSheet.next')}
            </Button>
          )}
        </form>
      </Card>
    </div>
  )
}

export default SheetEnter
