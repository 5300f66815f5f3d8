import { useStaffWords, type StaffKey } from '../../i18n/words'
import { formatDate, formatTime } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { StateWord } from '../../ui/StateWord'
import { bagsTold, heldFor, Medicated } from './batchParts'
import { feedName, weighedIn, type Batch, type BatchDetail } from './batchModel'
import { formatKg as exactKg } from '#core/quantity/mass'

/** Number, feed, kilograms, state and medicine: what must be sure before anything is weighed. `place` is the load's place in the day. */
export const BatchHead = ({ batch, place }: { batch: Batch; place?: string }) => {
  const { t, language } = useStaffWords()
  return (
    <header className="k-load-head">
      <div className="k-line">
        <h1>{t('load.named', { number: batch.number })}</h1>
        <StateWord thing="batch" state={batch.status} />
        {place !== undefined && <span>{place}</span>}
      </div>
      <p className="k-load-feed">
        {feedName(batch, language)}, <span className="k-tabular">{formatKg(batch.loadKg, 0)}</span>
      </p>
      {place === undefined && (
        <p>
          {t('load.mixer', { mixer: batch.mixerName })}, {t(`stage.${batch.stage}` as StaffKey)}
        </p>
      )}
      <div>{batch.medication ? <Medicated medication={batch.medication} /> : t('load.noMedicine')}</div>
      {batch.status === 'on-hold' && <p className="k-strong">{t('load.held', { reason: heldFor(batch.statusReason, t) })}</p>}
    </header>
  )
}

export const BatchFacts = ({ batch }: { batch: BatchDetail }) => {
  const { t, language } = useStaffWords()
  const at = (key: 'load.planned' | 'load.started' | 'load.finished', iso: string) => (
    <p>{t(key, { date: formatDate(iso, language), time: formatTime(iso) })}</p>
  )
  const weighed = weighedIn(batch.lines)
  return (
    <>
      <p>
        <a href={`#/orders/${batch.orderId}/show`}>
          {t('load.forOrder', { order: batch.orderNumber, member: batch.memberName, load: batch.loadOfOrder, loads: batch.loadsOfOrder })}
        </a>
      </p>
      <div>
        {at('load.planned', batch.plannedAt)}
        {batch.startedAt && at('load.started', batch.startedAt)}
        {batch.finishedAt && at('load.finished', batch.finishedAt)}
      </div>
      <dl className="k-facts">
        {weighed > 0 && (
          <>
            <dt>{t('load.weighedIn')}</dt>
            <dd className="k-tabular">{formatKg(exactKg(weighed))}</dd>
          </>
        )}
        {batch.madeKg !== null && (
          <>
            <dt>{t('load.made')}</dt>
            <dd className="k-tabular">{bagsTold(batch.madeKg, batch.bagKg, t)}</dd>
            <dt>{t('load.inBags')}</dt>
            <dd className="k-tabular">{formatKg(batch.bagsOnHandKg)}</dd>
          </>
        )}
      </dl>
      {batch.bestBefore !== null && <p>{t('load.bestBefore', { date: formatDate(batch.bestBefore, language) })}</p>}
    </>
  )
}
