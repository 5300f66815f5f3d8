import { useGetList } from 'react-admin'
import { useStaffWords } from '../../i18n/words'
import { CheckShape } from '../../ui/CheckShape'
import { discrepancyTold, kindWords, type Discrepancy } from '../discrepancies/discrepancyWords'

/** One entry opens a few at most; nobody else opens so many in the moment before this page asks. */
const NEWEST = 50

/** What the manager is told because of a sheet that was just entered, so that whoever entered it knows too. */
export const SheetTold = ({ code }: { code: string }) => {
  const words = useStaffWords()
  const { t } = words
  const { data = [] } = useGetList<Discrepancy>('discrepancies', {
    filter: { open: 'yes' },
    pagination: { page: 1, perPage: NEWEST },
    sort: { field: 'number', order: 'DESC' },
  })
  const told = data.filter(({ facts }) => facts['sheet'] === code)
  if (told.length === 0) return null
  return (
    <div className="k-refusal k-warn" role="status">
      <p className="k-refusal-reason k-verdict-line">
        <CheckShape verdict="warn" /> <span>{t('blankSheet.managerTold')}</span>
      </p>
      <ul>
        {told.map((each) => (
          <li key={each.id}>
            <b>{kindWords(each.kind, t)}.</b> {discrepancyTold(each, words)}
          </li>
        ))}
      </ul>
    </div>
  )
}
