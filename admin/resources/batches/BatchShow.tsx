import { useState } from 'react'
import { usePermissions } from 'react-admin'
import { useParams } from 'react-router-dom'
import type { Role } from '#contract/access'
import { useStaffWords } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { Findings } from '../formula-versions/Findings'
import { BatchFacts, BatchHead } from './BatchHead'
import { bagsTold, CallManager } from './batchParts'
import { feedName, isCollected, type BatchDetail } from './batchModel'
import { StartLoad } from './StartLoad'
import { AllRows, WeighLoad } from './WeighLoad'
import { useBatch } from './useBatch'

const Link = ({ href, children }: { href: string; children: string }) => (
  <a className="k-button" href={href}>
    {children}
  </a>
)

const Actions = ({ batch, role }: { batch: BatchDetail; role: Role }) => {
  const { t } = useStaffWords()
  const may = (action: string): boolean => canAccess(role, action, 'batches')
  const open = batch.finishedAt === null && batch.status !== 'cancelled'
  return (
    <div className="k-actions">
      <Link href={`#/batches/${batch.id}/sheet`}>{t('load.sheet')}</Link>
      {open && may('weigh') && <Link href={`#/batches/${batch.id}/paper`}>{t('load.paper')}</Link>}
      {canAccess(role, 'read', 'traces') && <Link href={`#/trace?from=batch&number=${batch.number}`}>{t('load.trace')}</Link>}
      {may('release-hold') && batch.status === 'on-hold' && (
        <Link href={`#/batches/${batch.id}/release-hold`}>{t('load.releaseHold')}</Link>
      )}
      {may('hold') && !isCollected(batch) && ['planned', 'being-weighed', 'done'].includes(batch.status) && (
        <Link href={`#/batches/${batch.id}/hold`}>{t('load.hold')}</Link>
      )}
      {may('write-off') && ['done', 'on-hold'].includes(batch.status) && Number(batch.bagsOnHandKg) > 0 && (
        <a className="k-button" data-kind="danger" href={`#/batches/${batch.id}/write-off`}>
          {t('load.writeOff')}
        </a>
      )}
      {canAccess(role, 'replan', 'orders') && batch.startedAt === null && batch.status !== 'cancelled' && (
        <Link href={`#/orders/${batch.orderId}/show`}>{t('load.wayOut', { number: batch.orderNumber })}</Link>
      )}
      {role === 'mixer-operator' && <Link href="#/problem">{t('load.problem')}</Link>}
    </div>
  )
}

/** What the load came to, said once it is finished: its bags, and whether they may go. */
export const FinishedTold = ({ batch }: { batch: BatchDetail }) => {
  const { t } = useStaffWords()
  if (batch.madeKg === null) return null
  return (
    <>
      <div className="k-readback" role="status">
        <CheckShape verdict="pass" />
        <p className="k-tabular">{t('load.finish.done', { number: batch.number, bags: bagsTold(batch.madeKg, batch.bagKg, t) })}</p>
      </div>
      {batch.status === 'on-hold' && (
        <div className="k-refusal k-warn">
          <p className="k-refusal-reason k-verdict-line">
            <CheckShape verdict="warn" /> <span>{t('load.finish.heldNow')}</span>
          </p>
          <CallManager />
        </div>
      )}
    </>
  )
}

/** What may be done with a load now: begin it, weigh it, or nothing more. */
export const LoadWork = ({ batch, onChange }: { batch: BatchDetail; onChange: (batch: BatchDetail) => void }) => {
  if (batch.status === 'planned') return <StartLoad batch={batch} onChange={onChange} />
  if (batch.finishedAt === null && batch.startedAt !== null && batch.status !== 'cancelled')
    return <WeighLoad batch={batch} onChange={onChange} />
  return <FinishedTold batch={batch} />
}

const BatchPage = ({ batch: read, role }: { batch: BatchDetail; role: Role }) => {
  const { t } = useStaffWords()
  const [answered, setAnswered] = useState<BatchDetail>()
  // an answer of a command is newer than what was read before it
  const batch = answered ?? read
  const works = canAccess(role, 'weigh', 'batches')
  const weighing = works && batch.startedAt !== null && batch.finishedAt === null && batch.status !== 'cancelled'
  return (
    <>
      <BatchHead batch={batch} />
      {!weighing && <Actions batch={batch} role={role} />}
      {works && <LoadWork batch={batch} onChange={setAnswered} />}
      {/* on a phone the weight on the scale must stand above the buttons */}
      {weighing && <Actions batch={batch} role={role} />}
      <Card title={t('load.facts')}>
        <BatchFacts batch={batch} />
        {isCollected(batch) && canAccess(role, 'hold', 'batches') && <p>{t('load.collected')}</p>}
      </Card>
      {batch.findings.length > 0 && (
        <Card title={t('load.checks')}>
          <Findings findings={batch.findings} />
        </Card>
      )}
      {!weighing && <AllRows batch={batch} />}
    </>
  )
}

const BatchShow = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const { permissions: role } = usePermissions<Role | null>()
  const { batch, error, refetch } = useBatch(id)
  usePageTitle(batch ? t('load.title', { number: batch.number, feed: feedName(batch, language) }) : t('nav.batches'))
  return (
    <div className="k-page">
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!error && (!batch || !role) && <Loading rows={5} />}
      {batch && role && <BatchPage key={batch.id} batch={batch} role={role} />}
    </div>
  )
}

export default BatchShow
