import { useGetList } from 'react-admin'
import { useStaffWords } from '../../i18n/words'
import { asProblem } from '../../shell/useAct'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { MovementEntries, MovementHead, type Movement } from '../stock-movements/movementWords'

const SHOWN = 10

/** What moved of one lot, newest first; all of it stands in the list of movements. */
export const LotMovements = ({ lotId, number }: { lotId: string; number: number }) => {
  const { t } = useStaffWords()
  const { data, total, error, isPending, refetch } = useGetList<Movement>('stock-movements', {
    pagination: { page: 1, perPage: SHOWN },
    sort: { field: 'enteredAt', order: 'DESC' },
    filter: { lotId },
  })
  const all = encodeURIComponent(JSON.stringify({ lotId }))
  return (
    <Card
      title={t('lots.movements')}
      action={(total ?? 0) > SHOWN && <a href={`#/stock-movements?filter=${all}`}>{t('action.showAll')}</a>}
    >
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={2} />}
      {data?.length === 0 && <p>{t('lots.noMovements')}</p>}
      {data?.map((movement) => (
        <div key={movement.id} className="k-list-row">
          <div className="k-list-main">
            <MovementHead movement={movement} />
            <MovementEntries movement={movement} lotNumber={number} />
          </div>
        </div>
      ))}
    </Card>
  )
}
