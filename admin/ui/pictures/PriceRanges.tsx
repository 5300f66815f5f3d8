import { formatNumber } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Picture } from './Picture'
import { priceScale, type PriceScale } from './scales'

export type PriceRange = {
  readonly key: string
  readonly name: string
  /** Price a kg today: for the drawing, and as shown. */
  readonly today: number
  readonly todayText: string
  /** Used: the mix stays as it is between these prices; null: without end; absent: no such range. */
  readonly from?: number | null | undefined
  readonly to?: number | null | undefined
  /** Unused: enters below this price; null or absent: at no price. */
  readonly entersBelow?: number | null | undefined
  readonly used: boolean
  /** The row in words, with its figures. */
  readonly sentence: string
}

const hasRange = ({ used, from, to }: PriceRange): boolean => used && (from !== undefined || to !== undefined)
const priceText = (price: number): string => formatNumber(price, 2)
const pricesOf = ({ today, from, to, entersBelow }: PriceRange): number[] =>
  [today, from, to, entersBelow].filter((price) => typeof price === 'number')

/** A range without end runs to the edge of the drawing and ends there in a point. */
const StayRange = ({ row, at }: { row: PriceRange; at: PriceScale['at'] }) => {
  const start = typeof row.from === 'number' ? at(row.from) : 0
  const end = typeof row.to === 'number' ? at(row.to) : 100
  return (
    <>
      <rect className="k-price-stay" x={`${start}%`} width={`${Math.max(0, end - start)}%`} y="18" height="16" />
      {typeof row.from === 'number' ? (
        <text className="k-picture-text" x={`${start}%`} y="48" textAnchor="end">
          {priceText(row.from)}
        </text>
      ) : (
        <path className="k-price-stay" d="M0 15L-12 26L0 37Z" />
      )}
      {typeof row.to === 'number' ? (
        <text className="k-picture-text" x={`${end}%`} y="48" textAnchor="start">
          {priceText(row.to)}
        </text>
      ) : (
        <svg x="100%" overflow="visible">
          <path className="k-price-stay" d="M0 15L12 26L0 37Z" />
        </svg>
      )}
    </>
  )
}

const EnterArrow = ({ price, at, words }: { price: number; at: PriceScale['at']; words: string }) => (
  <>
    <svg x={`${at(price)}%`} overflow="visible">
      <path className="k-price-enter" d="M0 17V35M0 26H-18M-10 19L-18 26L-10 33" />
    </svg>
    <text className="k-picture-text" x={`${at(price)}%`} y="48" textAnchor={at(price) < 50 ? 'start' : 'end'}>
      {words}
    </text>
  </>
)

const RowDrawing = ({ row, at }: { row: PriceRange; at: PriceScale['at'] }) => {
  const { t } = useStaffWords()
  const today = at(row.today)
  const anchor = today < 12 ? 'start' : today > 88 ? 'end' : 'middle'
  const entersNever = !row.used && typeof row.entersBelow !== 'number'
  const aside = entersNever ? t('picture.entersNever') : row.used && !hasRange(row) ? t('picture.drifts') : undefined
  return (
    <svg className="k-price-row-drawing">
      <line className="k-price-line" x1="0" x2="100%" y1="26" y2="26" />
      {hasRange(row) && <StayRange row={row} at={at} />}
      {!row.used && typeof row.entersBelow === 'number' && (
        <EnterArrow price={row.entersBelow} at={at} words={t('picture.entersBelow', { price: priceText(row.entersBelow) })} />
      )}
      {aside !== undefined && (
        <text className="k-picture-text" x={`${today}%`} y="48" textAnchor={anchor}>
          {aside}
        </text>
      )}
      <circle className="k-picture-today" cx={`${today}%`} cy="26" r="6" />
      <text className="k-picture-text k-picture-strong" x={`${today}%`} y="12" textAnchor={anchor}>
        {t('picture.today', { at: row.todayText })}
      </text>
    </svg>
  )
}

/** When the mix changes: one line an ingredient on one scale of prices, with the range in which the mix stays, or the price to enter at. */
export const PriceRanges = ({ rows, sentence }: { rows: readonly PriceRange[]; sentence: string }) => {
  const { t } = useStaffWords()
  const scale = priceScale(rows.flatMap(pricesOf))
  const end = (row: PriceRange, price: number | null | undefined): string =>
    price === null && row.used ? t('picture.endless') : typeof price === 'number' ? priceText(price) : ''
  const enters = ({ used, entersBelow }: PriceRange): string =>
    used ? '' : typeof entersBelow === 'number' ? priceText(entersBelow) : t('picture.entersNever')
  const right = (key: 'today' | 'from' | 'to' | 'entersBelow') => ({ title: t(`picture.column.${key}`), right: true })
  return (
    <Picture
      sentence={sentence}
      note={[t('picture.priceScale'), scale.proportional ? t('picture.proportions') : ''].filter(Boolean).join(' ')}
      table={{
        columns: [{ title: t('picture.column.name') }, right('today'), right('from'), right('to'), right('entersBelow')],
        rows: rows.map((row) => [row.name, row.todayText, end(row, row.from), end(row, row.to), enters(row)]),
      }}
    >
      {rows.map((row) => (
        <div className="k-price-row" key={row.key}>
          <div className="k-price-name k-strong">{row.name}</div>
          <div className="k-price-words k-tabular">{row.sentence}</div>
          <div className="k-price-drawing">
            <RowDrawing row={row} at={scale.at} />
          </div>
        </div>
      ))}
      <div className="k-price-row k-price-axis">
        <div />
        <div className="k-price-drawing">
          <svg className="k-price-axis-drawing">
            <line className="k-picture-axis" x1="0" x2="100%" y1="1" y2="1" />
            {scale.ticks.map((tick) => (
              <g key={tick}>
                <line className="k-picture-axis" x1={`${scale.at(tick)}%`} x2={`${scale.at(tick)}%`} y1="1" y2="8" />
                <text className="k-picture-text" x={`${scale.at(tick)}%`} y="24" textAnchor="middle">
                  {formatNumber(tick, Number.isInteger(tick) ? 0 : 2)}
                </text>
              </g>
            ))}
          </svg>
        </div>
      </div>
    </Picture>
  )
}
