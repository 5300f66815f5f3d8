import type { LotView } from '#contract/lots'
import { formatAccount } from '../../format/money'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'

/** What is owed by the terms, and beside it what the same price makes of the kilograms weighed. */
export const PaymentWords = ({ lot }: { lot: Pick<LotView, 'payment' | 'netKg'> }) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const { agreedMoisturePct, paidKg, money, moneyAsDelivered } = lot.payment
  const delivered = t('receiving.payAsDelivered', { money: formatAccount(moneyAsDelivered, currency), kg: formatKg(lot.netKg) })
  if (agreedMoisturePct === null) return delivered
  const agreed = { agreed: formatPercent(agreedMoisturePct), money: formatAccount(money, currency), kg: formatKg(paidKg) }
  return (
    <>
      <b>{t('receiving.payAgreed', agreed)}</b>
      <br />
      {delivered}
    </>
  )
}
