import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import { useStaffWords } from '../../i18n/words'
import type { MillDataProvider } from '../../providers/dataProvider'
import { asProblem } from '../../shell/useAct'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { ingredientOf, useIngredientName } from '../ingredients/names'
import { RecordFigures } from './RecordFigures'
import type { SupplierRecord } from './recordWords'
import { SteadyPicture } from './SteadyPicture'

type Asked = { readonly supplierId: string; readonly ingredientId: string }

const Pictures = ({ record, supplierId, ingredientId }: Asked & { readonly record: SupplierRecord }) => {
  const { t } = useStaffWords()
  const nameOf = useIngredientName()
  const name = nameOf(ingredientOf(record))
  const lots = encodeURIComponent(JSON.stringify({ supplierId, ingredientId }))
  return (
    <>
      <Card title={t('suppliers.record.title', { name })} action={<a href={`#/lots?filter=${lots}`}>{t('suppliers.record.lots')}</a>}>
        {record.olderLots > 0 && <p className="k-caption">{t('suppliers.record.older', { smart_count: record.olderLots })}</p>}
        <SteadyPicture record={record} content="protein" name={name} />
        <SteadyPicture record={record} content="moisture" name={name} />
      </Card>
      <RecordFigures record={record} />
    </>
  )
}

/** What one supplier brought of one ingredient, lot by lot. */
export const RecordOfIngredient = ({ supplierId, ingredientId }: Asked) => {
  const mill = useDataProvider<MillDataProvider>()
  const { data, error, isPending, refetch } = useQuery({
    queryKey: ['supplier-record', supplierId, ingredientId],
    queryFn: ({ signal }) => {
      const which = new URLSearchParams({ ingredientId }).toString()
      return mill.act<SupplierRecord>('GET', `/suppliers/${supplierId}/record?${which}`, undefined, { signal })
    },
  })
  return (
    <>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={5} />}
      {data && <Pictures record={data} supplierId={supplierId} ingredientId={ingredientId} />}
    </>
  )
}
