import { useState, type FormEvent } from 'react'
import { useQuery, useQueryClient } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { z } from 'zod'
import type { RequiredTestView, TestMatrixView } from '#contract/lots'
import { HAZARDS } from '#core/safety/required-tests'
import { formatDate } from '../format/dates'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { useMay } from '../providers/useMay'
import { useIngredientName } from '../resources/ingredients/names'
import { useAskedBy } from '../resources/lots/LotTests'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { useWide } from '../shell/useWide'
import { Button } from '../ui/Button'
import { Card, Row } from '../ui/Card'
import { FailureBar } from '../ui/Failure'
import { Field, SelectField } from '../ui/Field'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

type Matrix = z.output<typeof TestMatrixView>
type MatrixRow = Matrix['rows'][number]
type Own = z.output<typeof RequiredTestView>

const useRowName = (): ((row: MatrixRow) => string) => {
  const nameOf = useIngredientName()
  return ({ ingredientId, ingredientNameEn, ingredientNameSw }) =>
    nameOf({ id: ingredientId, nameEn: ingredientNameEn, nameSw: ingredientNameSw })
}

const MatrixTable = ({ rows }: { rows: readonly MatrixRow[] }) => {
  const { t } = useStaffWords()
  const nameOf = useRowName()
  const askedBy = useAskedBy()
  return (
    <table className="k-table">
      <thead>
        <tr>
          <th scope="col">{t('matrix.ingredient')}</th>
          {HAZARDS.map((hazard) => (
            <th key={hazard} scope="col">
              {t(`matrix.hazard.${hazard}`)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.ingredientId}>
            <th scope="row">{nameOf(row)}</th>
            {row.duties.map((duty) => (
              <td key={duty.hazard} title={askedBy(duty)}>
                <span className={duty.duty === 'required' ? 'k-strong' : duty.duty === 'none' ? 'k-caption' : undefined}>
                  {t(`matrix.duty.${duty.duty}`)}
                </span>
                {duty.ruleId && <span className="k-caption"> {duty.ruleId}</span>}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** On a phone each ingredient is a card: what must be and what should be tested; the rest is not asked for. */
const MatrixCards = ({ rows }: { rows: readonly MatrixRow[] }) => {
  const { t } = useStaffWords()
  const nameOf = useRowName()
  return (
    <div>
      {rows.map((row) => (
        <Row key={row.ingredientId}>
          <div className="k-strong">{nameOf(row)}</div>
          {(['required', 'asked'] as const).map((word) => {
            const which = row.duties.filter(({ duty }) => duty === word).map(({ hazard }) => t(`matrix.hazard.${hazard}`))
            return which.length === 0 ? null : (
              <div key={word} className="k-caption">
                {t(word === 'required' ? 'bench.required' : 'bench.asked', { what: which.join(', ') })}
              </div>
            )
          })}
        </Row>
      ))}
    </div>
  )
}

const Rows = ({ rows }: { rows: readonly MatrixRow[] }) => (useWide() ? <MatrixTable rows={rows} /> : <MatrixCards rows={rows} />)

const AddTest = ({ rows, onAdded }: { rows: readonly MatrixRow[]; onAdded: () => void }) => {
  const { t } = useStaffWords()
  const nameOf = useRowName()
  const { send, busy, problem, errorAt } = useAct()
  const [asked, setAsked] = useState({ ingredientId: '', hazard: '', reason: '' })
  const add = async (event: FormEvent) => {
    event.preventDefault()
    if (!busy && (await send({ method: 'POST', path: '/required-tests', body: asked }))) {
      setAsked({ ingredientId: '', hazard: '', reason: '' })
      onAdded()
    }
  }
  return (
    <Card title={t('matrix.add')}>
      <form className="k-stack" onSubmit={(event) => void add(event)} noValidate>
        {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
        <SelectField
          label={t('matrix.ingredient')}
          value={asked.ingredientId}
          choices={rows.map((row) => ({ value: row.ingredientId, label: nameOf(row) }))}
          onChange={(ingredientId) => setAsked({ ...asked, ingredientId })}
          error={errorAt('ingredientId')}
        />
        <SelectField
          label={t('matrix.test')}
          value={asked.hazard}
          choices={HAZARDS.map((value) => ({ value, label: t(`matrix.hazard.${value}`) }))}
          onChange={(hazard) => setAsked({ ...asked, hazard })}
          error={errorAt('hazard')}
        />
        <Field
          label={t('matrix.reason')}
          value={asked.reason}
          onChange={(reason) => setAsked({ ...asked, reason })}
          error={errorAt('reason')}
        />
        <Button submit kind="main" busy={busy}>
          {t('matrix.addIt')}
        </Button>
      </form>
    </Card>
  )
}

const OwnTest = ({ own, name, onRemoved }: { own: Own; name: string; onRemoved: () => void }) => {
  const { t, language } = useStaffWords()
  const may = useMay()
  const { send, busy, problem, errorAt } = useAct()
  const [reason, setReason] = useState<string>()
  const day = (at: string): string => formatDate(at, language)
  const remove = async () => {
    const path = `/required-tests/${own.id}/remove`
    if (await send({ method: 'POST', path, body: { reason }, revision: own.revision })) onRemoved()
  }
  const open = own.removedAt === null && may('change', 'required-tests')
  return (
    <Row
      action={
        open &&
        reason === undefined && (
          <Button kind="quiet" onPress={() => setReason('')}>
            {t('matrix.remove')}
          </Button>
        )
      }
    >
      <div className="k-strong">
        {name}, {t(`matrix.hazard.${own.hazard}`)}
      </div>
      <div className="k-caption">{t('matrix.addedBy', { who: own.addedBy, day: day(own.addedAt), reason: own.reason })}</div>
      {own.removedAt !== null && (
        <div className="k-caption">
          {t('matrix.removedBy', { who: own.removedBy ?? '', day: day(own.removedAt), reason: own.removedReason ?? '' })}
        </div>
      )}
      {open && reason !== undefined && (
        <div className="k-stack">
          <Field label={t('matrix.removeReason')} value={reason} onChange={setReason} error={errorAt('reason')} />
          {problem && problem.fields.length === 0 && <FailureBar problem={problem} />}
          <Button kind="danger" busy={busy} onPress={() => void remove()}>
            {t('matrix.remove')}
          </Button>
        </div>
      )}
    </Row>
  )
}

/** What must have been tested before a lot is released, by ingredient and hazard; what the manager added stands below with who and why. */
const RequiredTests = () => {
  const { t } = useStaffWords()
  const may = useMay()
  const nameOf = useRowName()
  const cache = useQueryClient()
  const mill = useDataProvider<MillDataProvider>()
  usePageTitle(t('matrix.title'))
  const { data, error, isPending, refetch } = useQuery({
    queryKey: ['required-tests'],
    queryFn: () => mill.act<Matrix>('GET', '/required-tests'),
    retry: false,
  })
  const again = () => void cache.invalidateQueries()
  const rows = data?.rows ?? []
  const nameById = (id: string): string => {
    const row = rows.find(({ ingredientId }) => ingredientId === id)
    return row ? nameOf(row) : id
  }
  return (
    <div className="k-page">
      <h1>{t('matrix.title')}</h1>
      <p>{t('matrix.intro')}</p>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={6} />}
      {data && (
        <>
          <Card title={t('matrix.own')}>
            {data.own.length === 0 && <p>{t('matrix.ownNone')}</p>}
            {data.own.map((own) => (
              <OwnTest key={own.id} own={own} name={nameById(own.ingredientId)} onRemoved={again} />
            ))}
          </Card>
          {may('change', 'required-tests') && <AddTest rows={rows} onAdded={again} />}
          <Card title={t('matrix.inStore')}>
            <Rows rows={rows.filter(({ inStore }) => inStore)} />
            <details className="k-fold">
              <summary>{t('matrix.others')}</summary>
              <Rows rows={rows.filter(({ inStore }) => !inStore)} />
            </details>
          </Card>
        </>
      )}
    </div>
  )
}

export default RequiredTests
