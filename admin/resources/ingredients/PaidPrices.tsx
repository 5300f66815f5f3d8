import type { z } from 'zod'
import type { IngredientDetailView } from '#contract/ingredients'
import { formatDate, formatShortDate } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { useWide } from '../../shell/useWide'
import { Card } from '../../ui/Card'
import { SupplierChart } from '../../ui/pictures/SupplierChart'

type Ingredient = z.output<typeof IngredientDetailView>
const ON_A_PHONE = 12
const ON_A_DESKTOP = 36
const FEWEST_DRAWN = 3

/** What deliveries cost, one point each in their order, with the mean by weight: is the last one dear? */
export const PaidPrices = ({ ingredient: { paid }, name }: { ingredient: Ingredient; name: string }) => {
  const { t, language } = useStaffWords()
  const currency = useCurrency()
  const perPage = useWide() ? ON_A_DESKTOP : ON_A_PHONE
  const last = paid.at(-1)
  const kg = paid.reduce((sum, { netKg }) => sum + Number(netKg), 0)
  const mean = paid.reduce((sum, { netKg, pricePerKg }) => sum + Number(netKg) * Number(pricePerKg), 0) / (kg || 1)
  const price = (perKg: string | number): string => t('ingredients.perKg', { price: formatAccount(perKg, currency) })
  if (!last)
    return (
      <Card title={t('ingredients.paid')}>
        <p>{t('ingredients.paidNone')}</p>
      </Card>
    )
  const facts = {
    name,
    price: price(last.pricePerKg),
    day: formatDate(last.receivedAt, language),
    mean: price(mean),
    smart_count: paid.length,
  }
  if (paid.length < FEWEST_DRAWN)
    return (
      <Card title={t('ingredients.paid')}>
        <p>{t('ingredients.paidTold', facts)}</p>
      </Card>
    )
  return (
    <Card title={t('ingredients.paid')}>
      <SupplierChart
        points={paid.map(({ lotId, number, receivedAt, netKg, pricePerKg, supplierName }) => ({
          key: lotId,
          value: Number(pricePerKg),
          outside: false,
          label: t('suppliers.record.lotOn', { number, when: formatShortDate(receivedAt, language) }),
          cells: [
            <a key="lot" href={`#/lots/${lotId}/show`}>
              {number}
            </a>,
            formatDate(receivedAt, language),
            supplierName,
            formatKg(netKg),
            formatAccount(pricePerKg, currency),
          ],
        }))}
        mean={{ at: mean, text: formatAccount(mean, currency) }}
        range={null}
        sentence={t('ingredients.paidTold', facts)}
        note={t('ingredients.paidNote')}
        columns={[
          { title: t('suppliers.record.column.lot') },
          { title: t('suppliers.record.column.when') },
          { title: t('offers.column.who') },
          { title: t('suppliers.record.column.kg'), right: true },
          { title: t('offers.column.price'), right: true },
        ]}
        perPage={perPage}
      />
    </Card>
  )
}
