import { useState, type ReactNode } from 'react'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../Button'
import { Hatches } from './Hatches'
import { Picture, type PictureTable } from './Picture'
import { roomyOf, straightScale, type Scale } from './scales'
import './SupplierChart.css'

export type RunPoint = {
  readonly key: string
  /** Null: the lot has no value that counts; its place stays, hatched. */
  readonly value: number | null
  readonly outside: boolean
  /** Lot number and date, for a point outside and for both ends. */
  readonly label: string
  /** The row of the table behind. */
  readonly cells: readonly ReactNode[]
}

/** A line across the picture, with its figure at the right end. */
export type RunLevel = { readonly at: number; readonly text: string }

type SupplierChartProps = {
  /** In order of delivery. */
  readonly points: readonly RunPoint[]
  readonly mean: RunLevel
  /** Lower and upper end of the usual range; null where too few lots tell one. */
  readonly range: readonly [RunLevel, RunLevel] | null
  readonly sentence: string
  readonly note: string
  readonly columns: PictureTable['columns']
  /** So many lots stand on one page of the picture, the newest first. */
  readonly perPage: number
}

const TOP = 36
const BOTTOM = 172
const FLOOR = 200
/** Lines of text nearer than this would touch. */
const LINE = 20
// A label such as "lot 14, 29 Sep" is about 110 px wide: of a drawing of 220 px, and of one of 700 px.
const APART_NARROW = 52
const APART_WIDE = 18
const FEWEST_PLACES = 4
/** The last label reaches into the room at the right, or it would touch the first one on a phone. */
const GUTTER = 100

type Placed = RunPoint & { readonly x: number; readonly y: number | null }

const anchorAt = (x: number): 'start' | 'middle' | 'end' => (x < 26 ? 'start' : x > 74 ? 'end' : 'middle')

/** Newest page first: page 0 ends with the last lot. */
export const pageOf = <T,>(points: readonly T[], page: number, perPage: number): readonly T[] => {
  const end = points.length - page * perPage
  return points.slice(Math.max(0, end - perPage), end)
}

const placedOf = (points: readonly RunPoint[], heightOf: (value: number) => number): Placed[] => {
  const places = Math.max(points.length, FEWEST_PLACES)
  return points.map((point, index) => ({
    ...point,
    x: ((index + 0.5) / places) * 100,
    y: point.value === null ? null : heightOf(point.value),
  }))
}

/** The mean first: where there is no room for three figures the two of the range give way. */
const Levels = ({ mean, range, heightOf }: Pick<SupplierChartProps, 'mean' | 'range'> & { heightOf: (value: number) => number }) => {
  const levels = [{ ...mean, look: 'k-run-mean' }, ...(range ?? []).map((level) => ({ ...level, look: 'k-run-limit' }))]
  const told = roomyOf(
    levels.map(({ at }) => heightOf(at)),
    LINE,
  )
  return levels.map(({ at, text, look }, index) => (
    <g key={index}>
      <line className={look} x1="0" x2="100%" y1={heightOf(at)} y2={heightOf(at)} />
      {told.has(index) && (
        <svg x="100%" y={heightOf(at)} overflow="visible">
          <text className={`k-picture-text ${look === 'k-run-mean' ? 'k-picture-strong' : ''}`} x="8" y="5">
            {text}
          </text>
        </svg>
      )}
    </g>
  ))
}

const PointMark = ({ point }: { point: Placed }) => (
  <svg x={`${point.x}%`} y={point.y ?? FLOOR - 10} overflow="visible">
    {point.y === null ? (
      <rect className="k-run-unknown" x="-5" y="-5" width="10" height="10" />
    ) : (
      <>
        <g className="k-run-screen">
          {point.outside ? <path className="k-run-outside" d="M0 -8L8 0L0 8L-8 0Z" /> : <circle className="k-run-point" r="5" />}
        </g>
        <rect className="k-run-paper" data-outside={point.outside || undefined} x="-5" y="-5" width="10" height="10" />
      </>
    )}
  </svg>
)

const OutsideLabels = ({ points, meanY }: { points: readonly Placed[]; meanY: number }) => {
  const outside = points.filter(({ outside: is }) => is).toReversed()
  const places = outside.map(({ x }) => x)
  const [wide, narrow] = [roomyOf(places, APART_WIDE), roomyOf(places, APART_NARROW)]
  return outside.map(({ key, label, x, y }, index) =>
    y === null || !wide.has(index) ? null : (
      <text
        key={key}
        className={`k-picture-text k-picture-strong ${narrow.has(index) ? '' : 'k-run-wide'}`}
        x={`${x}%`}
        y={y < meanY ? y - 14 : y + 24}
        textAnchor={anchorAt(x)}
      >
        {label}
      </text>
    ),
  )
}

const Ends = ({ points }: { points: readonly Placed[] }) => {
  const [first, last] = [points[0], points.at(-1)]
  return (
    <>
      {first && (
        <text className="k-picture-text" x="0" y={FLOOR + 20} textAnchor="start">
          {first.label}
        </text>
      )}
      {last && points.length > 2 && (
        <svg x="100%" overflow="visible">
          <text className="k-picture-text" x={GUTTER} y={FLOOR + 20} textAnchor="end">
            {last.label}
          </text>
        </svg>
      )}
    </>
  )
}

const Drawing = ({ points, mean, range, scale }: Pick<SupplierChartProps, 'points' | 'mean' | 'range'> & { scale: Scale }) => {
  const heightOf = (value: number): number => BOTTOM - (scale(value) / 100) * (BOTTOM - TOP)
  const placed = placedOf(points, heightOf)
  const known = placed.filter(({ y }) => y !== null)
  return (
    <svg className="k-run-drawing">
      <line className="k-picture-axis" x1="0" x2="100%" y1={FLOOR} y2={FLOOR} />
      <Levels mean={mean} range={range} heightOf={heightOf} />
      {known.slice(1).map((point, index) => {
        const before = known[index]
        return (
          before && (
            <line key={point.key} className="k-run-line" x1={`${before.x}%`} y1={before.y ?? 0} x2={`${point.x}%`} y2={point.y ?? 0} />
          )
        )
      })}
      {placed.map((point) => (
        <PointMark key={point.key} point={point} />
      ))}
      <OutsideLabels points={placed} meanY={heightOf(mean.at)} />
      <Ends points={placed} />
    </svg>
  )
}

/** Steady or drifting: one point a lot in the order of delivery, the mean and the usual range; those outside say which lot they are. */
export const SupplierChart = ({ points, mean, range, sentence, note, columns, perPage }: SupplierChartProps) => {
  const { t } = useStaffWords()
  const [page, setPage] = useState(0)
  const shown = pageOf(points, page, perPage)
  // One scale for all pages: a lot stands at the same height on whichever page it is.
  const values = points.flatMap(({ value }) => value ?? [])
  const scale = straightScale([...values, mean.at, ...(range ?? []).map(({ at }) => at)], { before: 0, after: 0 })
  const older = points.length > (page + 1) * perPage
  const pages = (older || page > 0) && (
    <div className="k-row">
      {older && <Button onPress={() => setPage(page + 1)}>{t('action.earlier')}</Button>}
      {page > 0 && <Button onPress={() => setPage(page - 1)}>{t('action.later')}</Button>}
    </div>
  )
  return (
    <Picture sentence={sentence} note={note} table={{ columns, rows: shown.map(({ cells }) => cells) }} action={pages}>
      <Hatches />
      <div className="k-run">
        <Drawing points={shown} mean={mean} range={range} scale={scale} />
      </div>
    </Picture>
  )
}
