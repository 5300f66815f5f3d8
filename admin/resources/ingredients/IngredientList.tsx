import { useEffect, useState } from 'react'

import type { z } from 'zod'
import type { IngredientView } from '#contract/ingredients'
import { formatAccount } from '../../format/money'
import { formatKg } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { ListSelect } from '../../shell/ListSelect'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { useFilters, withoutFilter } from '../../shell/useFilters'
import { usePageTitle } from '../../shell/usePageTitle'
import { Field } from '../../ui/Field'
import { Empty } from '../../ui/Waiting'
import { wordAsked } from './findWords'
import { useIngredientName, WithPicture } from './names'
import '../lots/lots.css'

type Ingredient = z.output<typeof IngredientView>

const CATEGORIES = [
  'cereal',
  'cereal_byproduct',
  'root',
  'sugar_byproduct',
  'oilseed',
  'oilseed_meal',
  'pulse',
  'animal_protein',
  'leaf_meal',
  'single_cell_protein',
  'fat',
  'mineral',
  'amino_acid',
  'vitamin',
  'premix',
] as const

const ASK_AFTER_MS = 400

/** Asks the mill for the word that the mill uses: "omena" lists dagaa. */
const Find = () => {
  const { t } = useStaffWords()
  const { filters, show } = useFilters()
  const asked = filters['q'] ?? ''
  const [typed, setTyped] = useState(asked)
  useEffect(() => {
    const word = wordAsked(typed)
    if (word === asked) return undefined
    const others = withoutFilter(filters, 'q')
    const timer = setTimeout(() => show(word === '' ? others : { ...others, q: word }), ASK_AFTER_MS)
    return () => clearTimeout(timer)
  }, [typed, asked, filters, show])
  return <Field label={t('ingredients.lookFor')} type="search" value={typed} onChange={setTyped} autoComplete="off" />
}

const IngredientList = () => {
  const { t, language } = useStaffWords()
  const nameOf = useIngredientName()
  const currency = useCurrency()
  usePageTitle(t('ingredients.title'))
  const kind = ({ category }: Ingredient): string => t(`ingredients.category.${category}` as StaffKey)
  const price = ({ replacementPricePerKg }: Ingredient): string =>
    replacementPricePerKg === null
      ? t('ingredients.noPrice')
      : t('ingredients.perKg', { price: formatAccount(replacementPricePerKg, currency) })
  const name = (row: Ingredient) => <WithPicture pictogram={row.pictogram}>{nameOf(row)}</WithPicture>
  const byName = language === 'en' ? 'nameEn' : 'nameSw'
  const columns: ListColumn<Ingredient>[] = [
    { key: 'name', title: t('ingredients.name'), sortBy: byName, cell: name },
    { key: 'other', title: t('ingredients.otherName'), cell: (row) => (language === 'en' ? row.nameSw : row.nameEn) },
    { key: 'kind', title: t('ingredients.kind'), sortBy: 'category', cell: kind },
    { key: 'onHand', title: t('ingredients.onHand'), right: true, cell: (row) => formatKg(row.onHandKg) },
    { key: 'free', title: t('ingredients.free'), right: true, cell: (row) => formatKg(row.freeKg) },
    { key: 'price', title: t('ingredients.replacement'), right: true, cell: price },
  ]
  return (
    <div className="k-page">
      <h1>{t('ingredients.title')}</h1>
      <ServerList<Ingredient>
        resource="ingredients"
        sort={{ field: byName, order: 'ASC' }}
        tools={
          <>
            <Find />
            <ListSelect
              name="category"
              label={t('ingredients.kind')}
              choices={CATEGORIES.map((value) => ({ value, label: t(`ingredients.category.${value}`) }))}
            />
          </>
        }
        filters={[{ key: 'inStore', label: t('ingredients.inStore'), filter: { inStore: 'yes' } }]}
        columns={columns}
        href={(row) => `/ingredients/${row.id}/show`}
        card={(row) => (
          <>
            <span className="k-strong">{name(row)}</span>
            <span className="k-tabular">{t('lots.freeOf', { kg: formatKg(row.freeKg) })}</span>
            <span className="k-caption">
              {kind(row)}, {price(row)}
            </span>
          </>
        )}
        empty={<Empty>{t('list.nothing')}</Empty>}
      />
    </div>
  )
}

export default IngredientList
