import { useState, type FormEvent } from 'react'
import { useNavigate } from 'react-router-dom'
import { MAX_SHEETS_AT_ONCE, type IssuedSheetsView } from '#contract/sheets'
import { SHEET_KINDS } from '#core/sheets/sheet'
import { readTyped } from '../format/typed'
import { useStaffWords } from '../i18n/words'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { Choice } from '../ui/Choice'
import { FailureBar } from '../ui/Failure'
import { NumberField } from '../ui/Field'

const USUAL = '5'

/** Takes numbers for so many sheets of a kind; their paper follows at once. */
const SheetIssue = () => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const { send, busy, problem, errorAt } = useAct()
  const [kind, setKind] = useState('')
  const [count, setCount] = useState(USUAL)
  const [asked, setAsked] = useState(false)
  usePageTitle(t('blankSheet.issueTitle'))
  const read = readTyped(count)
  const figure = read.kind === 'number' ? Number(read.text) : Number.NaN
  const fits = Number.isInteger(figure) && figure >= 1 && figure <= MAX_SHEETS_AT_ONCE
  const issue = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || kind === '' || !fits) return
    const issued = await send<IssuedSheetsView>({ method: 'POST', path: '/blank-sheets', body: { kind, count: figure } })
    if (issued) void navigate(`/sheet-bundles/${issued.bundleId}`)
  }
  const most = t('blankSheet.issueHint', { most: MAX_SHEETS_AT_ONCE })
  return (
    <div className="k-page">
      <h1>{t('blankSheet.issueTitle')}</h1>
      <p>{t('blankSheet.issueLead')}</p>
      <Card>
        <form className="k-stack k-form" onSubmit={(event) => void issue(event)} noValidate>
          <Choice
            label={t('blankSheet.issueKind')}
            value={kind}
            onChange={setKind}
            choices={SHEET_KINDS.map((value) => ({ value, label: t(`blankSheet.kind.${value}`) }))}
            error={asked && kind === '' ? t('field.chooseOne') : undefined}
          />
          <NumberField
            label={t('blankSheet.issueCount')}
            hint={most}
            value={count}
            onChange={setCount}
            unit={t('blankSheet.issueCountUnit')}
            places={0}
            error={asked && !fits ? most : errorAt('count')}
          />
          {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
          <Button submit kind="main" wide icon="print" busy={busy}>
            {t('blankSheet.issueButton')}
          </Button>
        </form>
      </Card>
    </div>
  )
}

export default SheetIssue
