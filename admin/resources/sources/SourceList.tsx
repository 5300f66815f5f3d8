import type { z } from 'zod'
import type { SourceView } from '#contract/ingredients'
import { useStaffWords } from '../../i18n/words'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { Empty } from '../../ui/Waiting'

type Source = z.output<typeof SourceView>

const SourceList = () => {
  const { t } = useStaffWords()
  usePageTitle(t('shelf.sources'))
  const columns: ListColumn<Source>[] = [
    { key: 'id', title: t('shelf.source'), cell: (row) => <span className="k-strong">{row.id}</span> },
    { key: 'citation', title: t('shelf.note'), cell: (row) => <span lang="en">{row.citation}</span> },
  ]
  return (
    <div className="k-page">
      <h1>{t('shelf.sources')}</h1>
      <p>
        {t('shelf.sourceLead')} {t('shelf.asWritten')}
      </p>
      <ServerList<Source>
        resource="sources"
        sort={{ field: 'id', order: 'ASC' }}
        search
        columns={columns}
        card={(row) => (
          <>
            <span className="k-strong">{row.id}</span>
            <span lang="en">{row.citation}</span>
          </>
        )}
        empty={<Empty>{t('list.nothing')}</Empty>}
      />
    </div>
  )
}

export default SourceList
