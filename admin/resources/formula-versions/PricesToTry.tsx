import type { MixView } from '#contract/formulas'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { NumberField } from '../../ui/Field'
import { Fold } from './Fold'
import type { Book, ChangeTrial } from './IngredientLimits'
import type { Trial } from './versionForm'

type PricesProps = {
  /** Ingredients with a limit. */
  readonly limited: readonly string[]
  readonly mix: MixView | undefined
  readonly trial: Trial
  readonly onTrial: ChangeTrial
  readonly book: Book
}

const withPrice = ({ prices, ...trial }: Trial, id: string, typed: string): Trial => {
  const { [id]: _old, ...others } = prices
  return { ...trial, prices: typed.trim() === '' ? others : { ...others, [id]: typed } }
}

const Price = ({ id, mix, trial, onTrial, book }: Omit<PricesProps, 'limited'> & { readonly id: string }) => {
  const { t } = useStaffWords()
  const decides = [...(mix?.amounts ?? []), ...(mix?.notUsed ?? [])].find(({ ingredientId }) => ingredientId === id)?.pricePerKg
  const price = trial.prices[id] ?? ''
  return (
    <NumberField
      label={book.nameOf(id)}
      unit={t('limit.perKg')}
      value={price}
      error={price.trim() !== '' && readTyped(price).kind !== 'number' ? t('field.notANumber') : undefined}
      placeholder={decides === undefined ? '' : Number(decides).toFixed(2)}
      onChange={(typed) => onTrial((now) => withPrice(now, id, typed))}
    />
  )
}

const Prices = ({ limited, ...props }: PricesProps) => {
  const used = (props.mix?.amounts ?? []).map(({ ingredientId }) => ingredientId)
  const ids = [...new Set([...used, ...limited, ...Object.keys(props.trial.prices)])]
  const named = ids.map((id) => ({ id, name: props.book.nameOf(id) })).sort((a, b) => a.name.localeCompare(b.name))
  return (
    <div className="k-prices-to-try">
      {named.map(({ id }) => (
        <Price key={id} id={id} {...props} />
      ))}
    </div>
  )
}

/** Prices to try in place of today's, for what is in the mix or limited; they are not kept. */
export const PricesToTry = (props: PricesProps) => {
  const { t } = useStaffWords()
  return (
    <Fold title={t('limit.tryTitle')}>
      <p>{t('limit.tryWhat')}</p>
      <Prices {...props} />
    </Fold>
  )
}
