import { formatNutrient, withUnit } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { Picture } from '../../ui/pictures/Picture'
import type { LotValue } from './knownValue'
import { isKnownNutrient } from './nutrientIds'

/** Room at both ends of a strip, as a share of what it shows. */
const MARGIN = 0.25
const WIDTH = 600

type Compared = {
  readonly nutrient: string
  readonly name: string
  readonly lot: number
  readonly book: number
  readonly half: number
  readonly show: (value: number) => string
}

const SHOWN_FIRST: readonly string[] = ['CP', 'DM', 'CF', 'EE', 'ash', 'Ca', 'totP', 'Lys', 'Met']
const MEASURED: readonly string[] = ['measured', 'below-detection']

/** Only what somebody measured is compared: a value that merely follows another one says nothing new. */
const comparedOf = (composition: readonly LotValue[], nameOf: (nutrient: string) => string): readonly Compared[] =>
  SHOWN_FIRST.flatMap((id) => {
    const value = composition.find(({ nutrient }) => nutrient === id)
    if (!value || value.value === null || value.bookValue === null || !isKnownNutrient(value.nutrient) || !MEASURED.includes(value.knownBy))
      return []
    const nutrient = value.nutrient
    const show = (figure: number): string => withUnit(formatNutrient(nutrient, figure), value.unit)
    return [{ nutrient, name: nameOf(nutrient), lot: value.value, book: value.bookValue, half: 1.96 * (value.sd ?? 0), show }]
  })

const Strip = ({ compared }: { compared: Compared }) => {
  const { t } = useStaffWords()
  const { lot, book, half } = compared
  const low = Math.min(book, lot - half)
  const high = Math.max(book, lot + half)
  const room = Math.max(high - low, Math.abs(book) * 0.1, 0.01)
  const from = low - room * MARGIN
  const at = (value: number): number => ((value - from) / (high + room * MARGIN - from)) * WIDTH
  const x = at(lot)
  return (
    <div className="k-strip">
      <span>
        <span className="k-strong">{compared.name}</span>: {t('lots.picture.lot', { value: compared.show(lot) })},{' '}
        {t('lots.picture.book', { value: compared.show(book) })}
      </span>
      <svg viewBox={`0 0 ${WIDTH} 32`} preserveAspectRatio="none">
        <path className="k-strip-line" d={`M0 16H${WIDTH}`} vectorEffect="non-scaling-stroke" />
        {half > 0 && <path className="k-strip-range" d={`M${at(lot - half)} 16H${at(lot + half)}`} vectorEffect="non-scaling-stroke" />}
        <path className="k-strip-book" d={`M${at(book)} 4V28`} vectorEffect="non-scaling-stroke" />
        <path className="k-strip-lot" d={`M${x} 4L${x + 10} 16L${x} 28L${x - 10} 16Z`} vectorEffect="non-scaling-stroke" />
      </svg>
    </div>
  )
}

/** Picture 4: is this lot usual? One strip a nutrient that was measured, the book as a notch, this lot as a diamond. */
export const LotAndBook = ({ number, composition }: { number: number; composition: readonly LotValue[] }) => {
  const { t } = useStaffWords()
  const compared = comparedOf(composition, (nutrient) => t(`nutrient.${nutrient}` as StaffKey))
  const [first] = compared
  if (!first) return null
  const difference = first.lot - first.book
  const facts = { number, name: first.name, lot: first.show(first.lot), book: first.show(first.book), by: first.show(Math.abs(difference)) }
  const key = facts.lot === facts.book ? 'same' : difference > 0 ? 'higher' : 'lower'
  return (
    <Card title={t('lots.picture.title')}>
      <Picture
        sentence={t(`lots.picture.${key}`, facts)}
        note={t('picture.ownScale')}
        table={{
          columns: [
            { title: t('lots.nutrient') },
            { title: t('lots.picture.column.lot'), right: true },
            { title: t('lots.picture.column.book'), right: true },
          ],
          rows: compared.map((one) => [one.name, one.show(one.lot), one.show(one.book)]),
        }}
      >
        {compared.map((one) => (
          <Strip key={one.nutrient} compared={one} />
        ))}
      </Picture>
    </Card>
  )
}
