import { useStaffWords } from '../../i18n/words'
import { Hatches } from './Hatches'
import { Picture } from './Picture'
import { roomyOf, straightScale } from './scales'

export type CostPoint = {
  readonly at: number
  /** Money a tonne. */
  readonly cost: number
  readonly atText: string
  readonly costText: string
  /** Only shows how the line bends: neither marked nor in the table. */
  readonly between?: boolean
}

type CostCurveProps = {
  /** In rising order of `at`; none where no mix is possible anywhere. */
  readonly points: readonly CostPoint[]
  readonly now: number
  readonly nowText: string
  readonly unit: string
  /** No mix below and above these; null or absent: a mix is possible as far as is drawn. */
  readonly possibleFrom?: number | null | undefined
  readonly possibleTo?: number | null | undefined
  /** The cost runs straight between the points; otherwise they are points worked out one by one. */
  readonly exact: boolean
  readonly sentence: string
  readonly axisText: string
}

const TOP = 64
const BOTTOM = 176
const FLOOR = 208
const HATCHED_ROOM = 0.16
const PLAIN_ROOM = 0.05
// A label of money is about 80 px wide: of a drawing of 600 px, and of one of 300 px.
const APART_WIDE = 15
const APART_NARROW = 32

/** The cost at a place between two points; undefined outside them. */
export const costAt = (points: readonly CostPoint[], at: number): number | undefined => {
  const after = points.findIndex((point) => point.at >= at)
  const right = points[after]
  if (right?.at === at) return right.cost
  const left = points[after - 1]
  if (left === undefined || right === undefined) return undefined
  return left.cost + ((right.cost - left.cost) * (at - left.at)) / (right.at - left.at)
}

type Placed = CostPoint & { readonly x: number; readonly y: number }

/** Today's point chooses first, then the two ends, then the others from left to right. */
const labelledOf = (placed: readonly Placed[], now: number, apart: number): ReadonlySet<Placed> => {
  const order = new Set([...placed.filter(({ at }) => at === now), ...placed.slice(0, 1), ...placed.slice(-1), ...placed])
  const asked = [...order]
  const kept = roomyOf(
    asked.map(({ x }) => x),
    apart,
  )
  return new Set(asked.filter((_, index) => kept.has(index)))
}

// A label of money must not leave the drawing of 300 px: near the edge it stands on the other side, under the line.
const NEAR_EDGE = 28

/** Above the line on the side that the line leaves, or under it on the other: so no label lies on the line. */
const costLabelAt = (x: number, rising: boolean): { above: boolean; anchor: 'start' | 'end' } => {
  const above = rising ? x >= NEAR_EDGE : x <= 100 - NEAR_EDGE
  return { above, anchor: rising === above ? 'end' : 'start' }
}

const anchorAt = (x: number): 'start' | 'middle' | 'end' => (x < 12 ? 'start' : x > 88 ? 'end' : 'middle')

const Label = ({ point, narrow, rising }: { point: Placed; narrow: boolean; rising: boolean }) => {
  const { above, anchor } = costLabelAt(point.x, rising)
  return (
    <g className={narrow ? undefined : 'k-curve-wide'}>
      <text className="k-picture-text" x={`${point.x}%`} y={point.y + (above ? -12 : 24)} textAnchor={anchor}>
        {point.costText}
      </text>
      <text className="k-picture-text" x={`${point.x}%`} y={FLOOR + 20} textAnchor={anchorAt(point.x)}>
        {point.atText}
      </text>
    </g>
  )
}

const NoMix = ({ from, to, words, anchor }: { from: number; to: number; words: string; anchor: 'start' | 'end' }) => (
  <>
    <rect className="k-curve-impossible" x={`${from}%`} width={`${Math.max(0, to - from)}%`} y="24" height={FLOOR - 24} />
    <text className="k-picture-text k-picture-strong" x={`${anchor === 'start' ? from : to}%`} y="16" textAnchor={anchor}>
      {words}
    </text>
  </>
)

const PointMark = ({ point, exact }: { point: Placed; exact: boolean }) => (
  <svg x={`${point.x}%`} y={point.y} overflow="visible">
    {exact ? <path className="k-curve-break" d="M0 -7L7 0L0 7L-7 0Z" /> : <circle className="k-curve-point" r="4" />}
  </svg>
)

/** What a tonne costs over one limit or one price: lines between points, today marked, hatched where no mix is possible. */
export const CostCurve = ({ points, now, nowText, unit, possibleFrom, possibleTo, exact, sentence, axisText }: CostCurveProps) => {
  const { t } = useStaffWords()
  const bounds = [possibleFrom, possibleTo].filter((bound) => typeof bound === 'number')
  const across = straightScale([now, ...bounds, ...points.map(({ at }) => at)], {
    before: typeof possibleFrom === 'number' ? HATCHED_ROOM : PLAIN_ROOM,
    after: typeof possibleTo === 'number' ? HATCHED_ROOM : PLAIN_ROOM,
  })
  const up = straightScale(points.length > 0 ? points.map(({ cost }) => cost) : [0], { before: 0, after: 0 })
  const heightOf = (cost: number): number => BOTTOM - (up(cost) / 100) * (BOTTOM - TOP)
  const placed: Placed[] = points.map((point) => ({ ...point, x: across(point.at), y: heightOf(point.cost) }))
  const nowX = across(now)
  const nowCost = costAt(points, now)
  const rising = (points.at(-1)?.cost ?? 0) >= (points[0]?.cost ?? 0)
  const marked = placed.filter(({ between = false }) => !between)
  const wide = labelledOf(marked, now, APART_WIDE)
  const narrow = labelledOf(marked, now, APART_NARROW)
  const empty = points.length === 0
  const notes = [empty ? t('picture.noMixAnywhere') : t('picture.costScale'), exact || empty ? '' : t('picture.workedOut')]
  return (
    <Picture
      sentence={sentence}
      note={notes.filter(Boolean).join(' ')}
      table={{
        columns: [
          { title: `${axisText} (${unit})`, right: true },
          { title: t('picture.column.costPerTonne'), right: true },
        ],
        rows: marked.map(({ at, atText, costText }) => [at === now ? t('picture.today', { at: atText }) : atText, costText]),
      }}
    >
      <Hatches />
      <div className="k-curve">
        <svg className="k-curve-drawing">
          {empty && <NoMix from={0} to={100} words={t('picture.noMix')} anchor="start" />}
          {!empty && typeof possibleFrom === 'number' && (
            <NoMix from={0} to={across(possibleFrom)} words={t('picture.noMix')} anchor="start" />
          )}
          {!empty && typeof possibleTo === 'number' && <NoMix from={across(possibleTo)} to={100} words={t('picture.noMix')} anchor="end" />}
          <line className="k-picture-axis" x1="0" x2="100%" y1={FLOOR} y2={FLOOR} />
          <line className="k-curve-now" x1={`${nowX}%`} x2={`${nowX}%`} y1={nowCost === undefined ? 24 : heightOf(nowCost)} y2={FLOOR} />
          {placed.slice(1).map((point, index) => {
            const before = placed[index]
            return (
              before && <line key={point.at} className="k-curve-line" x1={`${before.x}%`} y1={before.y} x2={`${point.x}%`} y2={point.y} />
            )
          })}
          {marked.map((point) => (
            <PointMark key={point.at} point={point} exact={exact} />
          ))}
          {nowCost !== undefined && <circle className="k-picture-today" cx={`${nowX}%`} cy={heightOf(nowCost)} r="8" />}
          {[...wide].map((point) => (
            <Label key={point.at} point={point} narrow={narrow.has(point)} rising={rising} />
          ))}
          <text className="k-picture-text k-picture-strong" x={`${nowX}%`} y={FLOOR + 40} textAnchor={anchorAt(nowX)}>
            {t('picture.today', { at: nowText })}
          </text>
        </svg>
        <p className="k-curve-axis-text">
          {axisText}, {unit}
        </p>
      </div>
    </Picture>
  )
}
