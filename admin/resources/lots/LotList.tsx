import { LOT_STATUSES, type LotView } from '#contract/lots'
import { formatKg } from '../../format/numbers'
import { formatAccount } from '../../format/money'
import { formatDate } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { useMay } from '../../providers/useMay'
import { useWhole } from '../../providers/useWhole'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { useFilters, withoutFilter } from '../../shell/useFilters'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { StateWord } from '../../ui/StateWord'
import { Empty } from '../../ui/Waiting'
import { ingredientOf, useIngredientName, WithPicture } from '../ingredients/names'
import { daysLeftWords } from './lotWords'
import './lots.css'

/** A supplier has one name, an ingredient one in each language. */
type Named = { readonly id: string; readonly name?: string; readonly nameEn?: string; readonly nameSw?: string }

/** "Only white maize", when one came from there; a tap shows all again. */
const OneThing = ({ resource, field }: { resource: 'ingredients' | 'suppliers'; field: string }) => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const { filters, show } = useFilters()
  const id = filters[field]
  const { data } = useWhole<Named>(resource, id ?? '', { enabled: id !== undefined })
  if (id === undefined || !data) return null
  const name = data.name ?? nameOf({ id: data.id, nameEn: data.nameEn ?? '', nameSw: data.nameSw ?? '' })
  return (
    <div>
      <Button pressed kind="main" icon="close" onPress={() => show(withoutFilter(filters, field))}>
        {t('lots.only', { name })}
      </Button>
    </div>
  )
}

const Keeps = ({ lot }: { lot: LotView }) => {
  const { t, language } = useStaffWords()
  if (lot.expiresOn === null) return <span className="k-caption">{t('lots.noDate')}</span>
  return (
    <>
      <span className="k-tabular">{formatDate(lot.expiresOn, language)}</span>{' '}
      <span className="k-caption">{daysLeftWords(lot.expiresOn, t)}</span>
    </>
  )
}

const LotList = () => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const currency = useCurrency()
  const may = useMay()
  usePageTitle(t('lots.title'))
  const price = ({ pricePerKg }: LotView): string => formatAccount(pricePerKg, currency)
  const name = (lot: LotView) => <WithPicture pictogram={lot.pictogram}>{nameOf(ingredientOf(lot))}</WithPicture>
  const state = (lot: LotView) => <StateWord thing="lot" state={lot.status} />
  // only a released lot has kilograms that are free to be used
  const freeOf = (lot: LotView) =>
    lot.status === 'released' ? (
      formatKg(lot.freeKg)
    ) : (
      <span className="k-caption">{t('lots.inStore', { kg: formatKg(lot.onHandKg) })}</span>
    )
  const columns: ListColumn<LotView>[] = [
    { key: 'number', title: t('lots.lot'), sortBy: 'number', cell: (lot) => <span className="k-lot-number">{lot.number}</span> },
    { key: 'ingredient', title: t('lots.ingredient'), cell: name },
    { key: 'state', title: t('lots.state'), sortBy: 'status', cell: state },
    { key: 'free', title: t('lots.free'), right: true, cell: freeOf },
    { key: 'price', title: t('lots.price'), right: true, sortBy: 'pricePerKg', cell: price },
    { key: 'keeps', title: t('lots.keeps'), sortBy: 'expiresOn', cell: (lot) => <Keeps lot={lot} /> },
    { key: 'place', title: t('lots.place'), cell: (lot) => lot.storagePlace },
  ]
  const receive = may('create', 'lots') && (
    <a className="k-button" data-kind="main" href="#/lots/create">
      {t('lots.receive')}
    </a>
  )
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('lots.title')}</h1>
        {receive}
      </div>
      <ServerList<LotView>
        resource="lots"
        sort={{ field: 'number', order: 'DESC' }}
        search
        tools={
          <>
            <OneThing resource="ingredients" field="ingredientId" />
            <OneThing resource="suppliers" field="supplierId" />
          </>
        }
        filters={[
          ...LOT_STATUSES.map((status) => ({ key: status, label: t(`state.lot.${status}`), filter: { status } })),
          { key: 'tests', label: t('lots.waitsTests'), filter: { waitsFor: 'tests' } },
          { key: 'decision', label: t('lots.waitsDecision'), filter: { waitsFor: 'decision' } },
        ]}
        columns={columns}
        href={(lot) => `/lots/${lot.id}/show`}
        card={(lot) => (
          <>
            <span className="k-row k-between">
              <span className="k-lot-number">{t('lots.named', { number: lot.number, name: nameOf(ingredientOf(lot)) })}</span>
              {state(lot)}
            </span>
            <span className="k-tabular">
              {lot.status === 'released'
                ? t('lots.freeOf', { kg: formatKg(lot.freeKg) })
                : t('lots.inStore', { kg: formatKg(lot.onHandKg) })}
              , {t('lots.perKg', { price: price(lot) })}
            </span>
            <span>
              <Keeps lot={lot} />
            </span>
          </>
        )}
        empty={<Empty action={receive}>{t('lots.empty')}</Empty>}
      />
    </div>
  )
}

export default LotList
