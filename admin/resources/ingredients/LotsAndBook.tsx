import type { z } from 'zod'
import type { IngredientDetailView } from '#contract/ingredients'
import { formatNutrient, withUnit } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { Picture } from '../../ui/pictures/Picture'
import { straightScale } from '../../ui/pictures/scales'
import { isKnownNutrient } from '../lots/nutrientIds'

type Ingredient = z.output<typeof IngredientDetailView>

const SHOWN: readonly string[] = ['CP', 'DM', 'CF', 'EE', 'ash', 'Ca', 'totP', 'Lys', 'Met']
/** Standard deviations each side of the mean that hold the middle half and 19 of 20 of a normal spread. */
const MIDDLE_HALF = 0.6745
const NINETEEN_OF_TWENTY = 1.96
const ROOM = { before: 0.08, after: 0.08 }
const NAMED = 4

/** The results of one nutrient beside its book value. */
const comparedOf = ({ values, measured }: Ingredient, nameOf: (nutrient: string) => string) =>
  SHOWN.flatMap((id) => {
    const results = measured.filter(({ nutrient }) => nutrient === id)
    const book = values.find(({ nutrient }) => nutrient === id)
    if (results.length === 0 || !book || book.value === null || !isKnownNutrient(id)) return []
    const show = (figure: number): string => withUnit(formatNutrient(id, figure), book.unit)
    return [{ id, name: nameOf(id), results, book: { value: book.value, sd: book.sd ?? 0 }, show }]
  })
type Compared = ReturnType<typeof comparedOf>[number]

const meanOf = ({ results }: Compared): number => results.reduce((sum, { value }) => sum + value, 0) / results.length
const endsOf = ({ results, show }: Compared) => ({
  smart_count: results.length,
  low: show(Math.min(...results.map(({ value }) => value))),
  high: show(Math.max(...results.map(({ value }) => value))),
})

const Strip = ({ compared }: { compared: Compared }) => {
  const { t } = useStaffWords()
  const { name, results, book, show } = compared
  const ends = [book.value - NINETEEN_OF_TWENTY * book.sd, book.value + NINETEEN_OF_TWENTY * book.sd] as const
  const scale = straightScale([...results.map(({ value }) => value), ...ends], ROOM)
  const at = (value: number): number => scale(value) * 6
  const inStore = results.filter((result) => result.inStore)
  return (
    <div className="k-strip">
      <span>
        <span className="k-strong">{name}</span>:{' '}
        {book.sd > 0
          ? t('ingredients.compared.bookRange', { book: show(book.value), low: show(ends[0]), high: show(ends[1]) })
          : t('ingredients.compared.book', { book: show(book.value) })}
        ; {t('ingredients.compared.results', endsOf(compared))}
        {inStore.length > 0 &&
          `; ${t('ingredients.compared.inStore')} ${inStore
            .slice(-NAMED)
            .map(({ number, value }) => t('ingredients.compared.lot', { number, value: show(value) }))
            .join(', ')}`}
      </span>
      <svg viewBox="0 0 600 32" preserveAspectRatio="none">
        {book.sd > 0 && (
          <>
            <path className="k-strip-line" d={`M${at(ends[0])} 16H${at(ends[1])}`} vectorEffect="non-scaling-stroke" />
            <rect
              className="k-strip-half"
              x={at(book.value - MIDDLE_HALF * book.sd)}
              width={at(book.value + MIDDLE_HALF * book.sd) - at(book.value - MIDDLE_HALF * book.sd)}
              y={6}
              height={20}
            />
          </>
        )}
        <path className="k-strip-book" d={`M${at(book.value)} 2V30`} vectorEffect="non-scaling-stroke" />
        {results.map(({ lotId, value, inStore: here }, place) =>
          here ? (
            <path
              key={`${lotId} ${place}`}
              className="k-strip-lot"
              d={`M${at(value)} 6L${at(value) + 8} 16L${at(value)} 26L${at(value) - 8} 16Z`}
              vectorEffect="non-scaling-stroke"
            />
          ) : (
            // a line of no length with round ends: a dot that the width of the screen does not stretch
            <path key={`${lotId} ${place}`} className="k-strip-result" d={`M${at(value)} 16h0`} vectorEffect="non-scaling-stroke" />
          ),
        )}
      </svg>
    </div>
  )
}

/** Picture 4 over all lots: is what comes in like the book? A strip a nutrient: the book's spread, a dot a result, a diamond a lot in store. */
export const LotsAndBook = ({ ingredient, name }: { ingredient: Ingredient; name: string }) => {
  const { t } = useStaffWords()
  const compared = comparedOf(ingredient, (nutrient) => t(`nutrient.${nutrient}` as StaffKey))
  const [first] = compared
  return (
    <Card title={t('ingredients.compared.title')}>
      {!first && <p>{t('ingredients.compared.none')}</p>}
      {first && (
        <Picture
          sentence={t('ingredients.compared.told', {
            ...endsOf(first),
            name,
            nutrient: first.name,
            mean: first.show(meanOf(first)),
            book: first.show(first.book.value),
          })}
          note={`${t('ingredients.compared.note')} ${t('picture.ownScale')}`}
          table={{
            columns: [
              { title: t('lots.nutrient') },
              { title: t('suppliers.record.column.lot') },
              { title: t('ingredients.compared.column.measured'), right: true },
              { title: t('lots.picture.column.book'), right: true },
            ],
            rows: compared.flatMap((one) =>
              one.results.map(({ lotId, number, value }) => [
                one.name,
                <a key="lot" href={`#/lots/${lotId}/show`}>
                  {number}
                </a>,
                one.show(value),
                one.show(one.book.value),
              ]),
            ),
          }}
        >
          {compared.map((one) => (
            <Strip key={one.id} compared={one} />
          ))}
        </Picture>
      )}
    </Card>
  )
}
