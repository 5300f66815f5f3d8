import { useState } from 'react'
import { useParams, useSearchParams } from 'react-router-dom'
import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { formatPhone } from '../../format/phones'
import { useStaffWords } from '../../i18n/words'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { OffersOfSupplier } from '../offers/OffersOfSupplier'
import { RecordOfIngredient } from './RecordOfIngredient'
import { SupplierIngredients, useDelivered } from './SupplierIngredients'
import type { Supplier } from './SupplierList'
import '../lots/lots.css'

/** What they delivered, and below it the record of the ingredient that was chosen: at first the one with the most lots. */
const Record = ({ supplierId }: { supplierId: string }) => {
  const [search] = useSearchParams()
  const delivered = useDelivered(supplierId)
  const [first, setFirst] = useState<string>()
  const top = delivered.data?.[0]?.id
  // sorting the list another way must not change the record below it
  if (first === undefined && top !== undefined) setFirst(top)
  const chosen = search.get('ingredient') ?? first
  const hrefOf = (ingredientId: string): string => `#/suppliers/${supplierId}/show?ingredient=${encodeURIComponent(ingredientId)}`
  return (
    <>
      <SupplierIngredients delivered={delivered} chosen={chosen} hrefOf={hrefOf} />
      {chosen !== undefined && <RecordOfIngredient key={chosen} supplierId={supplierId} ingredientId={chosen} />}
    </>
  )
}

const SupplierShow = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const { data, error, refetch } = useWhole<Supplier>('suppliers', id)
  usePageTitle(data?.name ?? t('suppliers.title'))
  const lots = encodeURIComponent(JSON.stringify({ supplierId: id }))
  return (
    <div className="k-page">
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading rows={3} />}
      {data && (
        <>
          <h1>{data.name}</h1>
          <Card>
            <dl className="k-facts">
              <dt>{t('suppliers.place')}</dt>
              <dd>{data.place || t('suppliers.noPlace')}</dd>
              <dt>{t('suppliers.phone')}</dt>
              <dd>{data.phone === '' ? t('suppliers.noPhone') : <a href={`tel:${data.phone}`}>{formatPhone(data.phone)}</a>}</dd>
              <dt>{t('suppliers.lots')}</dt>
              <dd>{t('suppliers.lotsCount', { smart_count: data.lots })}</dd>
              <dt>{t('suppliers.received')}</dt>
              <dd>{formatKg(data.receivedKg)}</dd>
              <dt>{t('suppliers.since')}</dt>
              <dd>{formatDate(data.createdAt, language)}</dd>
            </dl>
          </Card>
          <div>
            <a className="k-button" href={`#/lots?filter=${lots}`}>
              {t('suppliers.theirLots')}
            </a>
          </div>
          <OffersOfSupplier supplierId={id} />
          <Record key={id} supplierId={id} />
        </>
      )}
    </div>
  )
}

export default SupplierShow
