import type { z } from 'zod'
import type { MovementView } from '#contract/stock'
import { formatDate, formatTime } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import type { Translate } from '../../i18n/translate'
import { useStaffWords, type StaffKey } from '../../i18n/words'

export type Movement = z.output<typeof MovementView>
type Entry = Movement['entries'][number]

const known = (t: Translate<StaffKey>, group: 'kind' | 'account', word: string): string => {
  const key = `ledger.${group}.${word}`
  const words = t(key as StaffKey)
  return words === key ? word : words
}

export const kindWords = (kind: string, t: Translate<StaffKey>): string => known(t, 'kind', kind)
export const accountWords = (account: string, t: Translate<StaffKey>): string => known(t, 'account', account)

export const purposeWords = ({ orderNumber, batchNumber }: Movement, t: Translate<StaffKey>): string =>
  [
    orderNumber === null ? '' : t('ledger.order', { number: orderNumber }),
    batchNumber === null ? '' : t('ledger.batch', { number: batchNumber }),
  ]
    .filter(Boolean)
    .join(', ')

const placeOf = (entry: Entry, t: Translate<StaffKey>): string =>
  [
    accountWords(entry.account, t),
    entry.lotNumber === null ? '' : t('ledger.lot', { number: entry.lotNumber }),
    entry.batchNumber === null ? '' : t('ledger.batch', { number: entry.batchNumber }),
    entry.whose ?? '',
  ]
    .filter(Boolean)
    .join(', ')

/** What happened, for what, by whom; "set aside, order 27". */
export const MovementHead = ({ movement }: { movement: Movement }) => {
  const { t, language } = useStaffWords()
  const purpose = purposeWords(movement, t)
  return (
    <>
      <span className="k-strong">
        {kindWords(movement.kind, t)}
        {purpose && `, ${purpose}`}
      </span>{' '}
      <span className="k-caption">
        {formatDate(movement.happenedAt, language)} {formatTime(movement.happenedAt)}, {movement.actor}
        {movement.reason && `, ${movement.reason}`}
      </span>
    </>
  )
}

/** The entries of a movement that concern one lot, or all of them; a minus is what went out. */
export const MovementEntries = ({ movement, lotNumber }: { movement: Movement; lotNumber?: number | undefined }) => {
  const { t } = useStaffWords()
  const entries = lotNumber === undefined ? movement.entries : movement.entries.filter((entry) => entry.lotNumber === lotNumber)
  return (
    <ul className="k-quiet-list k-tabular">
      {entries.map((entry, index) => (
        <li key={index}>
          {formatKg(entry.kg, 3)} <span className="k-caption">{placeOf(entry, t)}</span>
        </li>
      ))}
    </ul>
  )
}
