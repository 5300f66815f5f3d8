import { Fragment } from 'react'
import { formatDate, formatShortDate } from '../../format/dates'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useWide } from '../../shell/useWide'
import { SupplierChart, type RunPoint } from '../../ui/pictures/SupplierChart'
import { measuredWords, recordSentence, usualWords, type Content, type SupplierRecord } from './recordWords'

// The last twelve on a phone (console.md, picture 5); a desktop has room for three times as many.
const ON_A_PHONE = 12
const ON_A_DESKTOP = 36

type SteadyPictureProps = { readonly record: SupplierRecord; readonly content: Content; readonly name: string }

/** Lots outside in words, because marks side by side leave no room for the numbers of all. */
const OutsideLots = ({ record, content }: Omit<SteadyPictureProps, 'name'>) => {
  const { t, language } = useStaffWords()
  const { outside } = record[content]
  const points = record.points.filter(({ number }) => outside.includes(number)).toReversed()
  if (points.length < 2) return null
  return (
    <p>
      {t('suppliers.record.outsideAre')}{' '}
      {points.map(({ lotId, number, receivedAt, [content]: { value } }, index) => (
        <Fragment key={lotId}>
          {index > 0 && '; '}
          <a href={`#/lots/${lotId}/show`}>{t('suppliers.record.lotOn', { number, when: formatShortDate(receivedAt, language) })}</a>
          {`, ${formatPercent(value ?? 0)}`}
        </Fragment>
      ))}
    </p>
  )
}

/** Picture 5 of one content, with every lot behind it in the table: also those that do not count, and why. */
export const SteadyPicture = ({ record, content, name }: SteadyPictureProps) => {
  const { t, language } = useStaffWords()
  const perPage = useWide() ? ON_A_DESKTOP : ON_A_PHONE
  const { mean, range, outside } = record[content]
  const sentence = recordSentence({ record, content, name }, t)
  if (mean === null) return <p className="k-strong">{sentence}</p>
  const atBook = content === 'protein' && record.bookDryMatterPct !== null
  const points = record.points.map((point): RunPoint => {
    const { value } = point[content]
    const counts = value === null ? t('suppliers.record.notTold') : formatPercent(value)
    return {
      key: point.lotId,
      value,
      outside: outside.includes(point.number),
      label: t('suppliers.record.lotOn', { number: point.number, when: formatShortDate(point.receivedAt, language) }),
      cells: [
        <a key="lot" href={`#/lots/${point.lotId}/show`}>
          {point.number}
        </a>,
        formatDate(point.receivedAt, language),
        formatKg(point.netKg),
        measuredWords(point[content], t),
        ...(atBook ? [counts] : []),
        usualWords(point, { record, content }, t),
      ],
    }
  })
  const notes = [
    atBook && t('suppliers.record.atBook', { dm: formatPercent(record.bookDryMatterPct ?? 0) }),
    content === 'moisture' && t('suppliers.record.ovenOnly'),
    t(range === null ? 'suppliers.record.howFew' : 'suppliers.record.how'),
  ]
  const right = (key: 'kg' | 'measured' | 'counts') => ({ title: t(`suppliers.record.column.${key}`), right: true })
  return (
    <>
      <SupplierChart
        points={points}
        mean={{ at: mean, text: t('suppliers.record.mean', { mean: formatPercent(mean) }) }}
        range={
          range && [
            { at: range.low, text: formatPercent(range.low) },
            { at: range.high, text: formatPercent(range.high) },
          ]
        }
        sentence={sentence}
        note={notes.filter(Boolean).join(' ')}
        columns={[
          { title: t('suppliers.record.column.lot') },
          { title: t('suppliers.record.column.when') },
          right('kg'),
          right('measured'),
          ...(atBook ? [right('counts')] : []),
          { title: t('suppliers.record.column.usual') },
        ]}
        perPage={perPage}
      />
      <OutsideLots record={record} content={content} />
    </>
  )
}
