import { useQuery } from '@tanstack/react-query'
import { useState, type FormEvent } from 'react'
import { useDataProvider } from 'react-admin'
import { useSearchParams } from 'react-router-dom'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { useMay } from '../providers/useMay'
import { asProblem } from '../shell/useAct'
import { pathExists } from '../shell/pathExists'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { FailureBar } from '../ui/Failure'
import { Field, SelectField } from '../ui/Field'
import { TraceColumns } from '../ui/pictures/TraceColumns'
import { Empty, Loading } from '../ui/Waiting'
import { Balance, Totals } from './trace-figures'
import { ASKED_FROM, isAskedFrom, traceLinks, traceNodes, traceTold, type AskedFrom, type Trace } from './traceWords'

type Asked = { readonly from: string; readonly number: string; readonly id: string }
type QuestionProps = {
  readonly asked: Asked
  readonly fault: string | undefined
  readonly onAsk: (from: AskedFrom, number: string) => void
}

const Question = ({ asked, fault, onAsk }: QuestionProps) => {
  const { t } = useStaffWords()
  const [from, setFrom] = useState<string>(isAskedFrom(asked.from) ? asked.from : 'lot')
  const [number, setNumber] = useState(asked.number)
  const [wrong, setWrong] = useState(false)
  const ask = (event: FormEvent) => {
    event.preventDefault()
    const digits = number.trim()
    const good = /^[1-9]\d{0,8}$/.test(digits)
    setWrong(!good)
    if (good && isAskedFrom(from)) onAsk(from, digits)
  }
  return (
    <form className="k-trace-question" onSubmit={ask} noValidate>
      <SelectField
        label={t('tracing.what')}
        value={from}
        onChange={setFrom}
        choices={ASKED_FROM.map((kind) => ({ value: kind, label: t(`tracing.kind.${kind}`) }))}
      />
      <Field
        label={t('tracing.number')}
        value={number}
        onChange={setNumber}
        inputMode="numeric"
        autoComplete="off"
        error={wrong ? t('tracing.needNumber') : fault}
      />
      <Button submit kind="main">
        {t('tracing.button')}
      </Button>
    </form>
  )
}

const Answer = ({ trace }: { trace: Trace }) => {
  const { t } = useStaffWords()
  const may = useMay()
  // only pages that exist and that this role may open are linked
  const opens = (resource: string): boolean => pathExists(`/${resource}`) && may('read', resource)
  return (
    <>
      <TraceColumns
        nodes={traceNodes(trace, { t, opens })}
        links={traceLinks(trace)}
        askedId={trace.asked.id}
        sentence={traceTold(trace, t)}
      />
      <div className="k-columns">
        <Card title={t('tracing.totals')}>
          <Totals trace={trace} />
        </Card>
        {trace.balance && (
          <Card title={t('tracing.balance', { number: trace.asked.label })}>
            <Balance balance={trace.balance} />
          </Card>
        )}
      </div>
    </>
  )
}

/** Where something came from and where it went; the question stands in the address. */
const TracePage = () => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  const [params, setParams] = useSearchParams()
  const asked: Asked = { from: params.get('from') ?? '', number: params.get('number') ?? '', id: params.get('id') ?? '' }
  const ready = asked.from !== '' && (asked.number !== '' || asked.id !== '')
  const which = asked.id === '' ? `number=${encodeURIComponent(asked.number)}` : `id=${encodeURIComponent(asked.id)}`
  const { data, error, refetch, isFetching } = useQuery({
    queryKey: ['trace', asked.from, which],
    queryFn: ({ signal }) => mill.act<Trace>('GET', `/trace?from=${encodeURIComponent(asked.from)}&${which}`, undefined, { signal }),
    enabled: ready,
    retry: false,
  })
  const problem = error ? asProblem(error) : undefined
  const from = isAskedFrom(asked.from) ? asked.from : 'lot'
  const thing = t(`tracing.thing.${from}`, { number: asked.number || (data?.asked.label ?? '') })
  usePageTitle(ready ? t('tracing.titleOf', { thing }) : t('tracing.title'))
  const missing = problem?.code === 'not-found' || problem?.code === 'bad-input'
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{ready ? t('tracing.titleOf', { thing }) : t('tracing.title')}</h1>
        {data && (
          <Button icon="print" onPress={() => print()}>
            {t('tracing.print')}
          </Button>
        )}
      </div>
      <Question
        key={`${asked.from} ${asked.number}`}
        asked={asked}
        fault={missing ? t('tracing.notFound', { thing }) : undefined}
        onAsk={(kind, number) => setParams({ from: kind, number })}
      />
      {!ready && <Empty>{t('tracing.begin')}</Empty>}
      {problem && !missing && <FailureBar problem={problem} doing="load" onTryAgain={() => void refetch()} />}
      {ready && isFetching && !data && <Loading rows={5} />}
      {data && <Answer trace={data} />}
    </div>
  )
}

export default TracePage
