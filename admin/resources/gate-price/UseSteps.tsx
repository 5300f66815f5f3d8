import type { GatePriceView } from '#contract/gate-price'
import { formatKg, formatNumber } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { Picture } from '../../ui/pictures/Picture'
import { roomyOf, straightScale } from '../../ui/pictures/scales'

const TOP = 40
const FLOOR = 180
/** A label is as wide as this share of a phone's drawing. */
const APART = 22

type Step = { readonly from: number; readonly to: number; readonly kg: number }

/** The steps from a little below where they begin to fall, to a little above where nothing is used or what is asked. */
const drawnOf = (view: GatePriceView): { steps: readonly Step[]; low: number; high: number } => {
  const all = view.steps.map(({ fromPrice, toPrice, kg }) => ({ from: fromPrice, to: toPrice, kg: Number(kg) }))
  const turns = all.slice(0, -1).map(({ to }) => to)
  const asked = Number(view.askedPerKg)
  const least = Math.min(asked, ...turns)
  const most = Math.max(asked, ...turns)
  const room = Math.max(0.05 * most, 0.25 * (most - least))
  const [low, high] = [Math.max(0, least - room), most + room]
  return {
    low,
    high,
    steps: all
      .filter(({ from, to }) => to > low && from < high)
      .map((step) => ({ ...step, from: Math.max(low, step.from), to: Math.min(high, step.to) })),
  }
}

/** Kilograms used against the price of a kilogram, falling in steps, with the price that is asked as a line. */
export const UseSteps = ({ view }: { view: GatePriceView }) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  // down, as the sentence has them: at a hair more less would be used
  const price = (value: number): string => formatNumber(Math.floor(value * 100 + 1e-6) / 100, 2)
  const { steps, low, high } = drawnOf(view)
  const across = straightScale([low, high], { before: 0, after: 0 })
  const most = Math.max(1, ...steps.map(({ kg }) => kg))
  const height = (kg: number): number => FLOOR - (kg / most) * (FLOOR - TOP)
  const asked = Number(view.askedPerKg)
  const turns = steps.slice(0, -1)
  // the price of all and the price of any are the ones asked for, then the others where they find room
  const order = [...new Set([...turns.slice(-1), ...turns.slice(0, 1), ...turns])]
  const placed = roomyOf(
    order.map(({ to }) => across(to)),
    APART,
  )
  const shown = order.filter((_, index) => placed.has(index))
  const wide = steps.filter(({ from, to, kg }, index) => (index === 0 || across(to) - across(from) >= APART) && kg > 0)
  const sentence =
    view.whole === null
      ? t('gate.picturePart', { most: formatKg(view.mostKg, 0), breakEven: `${currency}\u00a0${price(view.breakEven ?? 0)}` })
      : t('gate.pictureTake', { whole: `${currency}\u00a0${price(view.whole)}` })
  const anchorAt = (x: number): 'start' | 'middle' | 'end' => (x < 14 ? 'start' : x > 86 ? 'end' : 'middle')
  return (
    <Picture
      sentence={sentence}
      note={t('gate.pictureStep')}
      table={{
        columns: [
          { title: `${t('gate.priceFrom')} (${currency})`, right: true },
          { title: `${t('gate.priceTo')} (${currency})`, right: true },
          { title: t('gate.kgUsed'), right: true },
        ],
        rows: view.steps.map(({ fromPrice, toPrice, kg }, index) => [
          price(fromPrice),
          index === view.steps.length - 1 ? '' : price(toPrice),
          formatKg(kg),
        ]),
      }}
    >
      <div className="k-curve">
        <svg className="k-gate-drawing">
          {steps.map((step) => (
            <rect
              key={`area ${step.from}`}
              className="k-gate-area"
              x={`${across(step.from)}%`}
              width={`${across(step.to) - across(step.from)}%`}
              y={height(step.kg)}
              height={FLOOR - height(step.kg)}
            />
          ))}
          <line className="k-picture-axis" x1="0" x2="100%" y1={FLOOR} y2={FLOOR} />
          {steps.map((step, index) => {
            const next = steps[index + 1]
            return (
              <g key={step.from}>
                <line
                  className="k-curve-line"
                  x1={`${across(step.from)}%`}
                  x2={`${across(step.to)}%`}
                  y1={height(step.kg)}
                  y2={height(step.kg)}
                />
                {next && (
                  <line
                    className="k-curve-line"
                    x1={`${across(step.to)}%`}
                    x2={`${across(step.to)}%`}
                    y1={height(step.kg)}
                    y2={height(next.kg)}
                  />
                )}
              </g>
            )
          })}
          <line className="k-curve-now" x1={`${across(asked)}%`} x2={`${across(asked)}%`} y1={22} y2={FLOOR} />
          <text className="k-picture-text k-picture-strong" x={`${across(asked)}%`} y="14" textAnchor={anchorAt(across(asked))}>
            {t('gate.asked', { price: price(asked) })}
          </text>
          {wide.map((step) => (
            <text
              key={`kg ${step.from}`}
              className="k-picture-text"
              x={`${across(step.from) + 1}%`}
              y={height(step.kg) + (step.kg > most / 4 ? 18 : -8)}
            >
              {formatKg(step.kg, 0)}
            </text>
          ))}
          {shown.map(({ to }) => (
            <text key={`at ${to}`} className="k-picture-text" x={`${across(to)}%`} y={FLOOR + 20} textAnchor={anchorAt(across(to))}>
              {price(to)}
            </text>
          ))}
        </svg>
        <p className="k-curve-axis-text k-caption">
          {t('gate.axis')} ({currency})
        </p>
      </div>
    </Picture>
  )
}
