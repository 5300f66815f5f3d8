import { ANALYTES } from '#contract/laboratory'
import { formatDate, formatTime } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { useMay } from '../../providers/useMay'
import { ListSelect } from '../../shell/ListSelect'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { Empty } from '../../ui/Waiting'
import { ResultFigure, type AssayRow } from '../lots/LotResults'
import { analyteName, methodWords } from '../lots/lotWords'
import { useIngredientName } from '../ingredients/names'
import '../lots/lots.css'

const AssayList = () => {
  const { t, language } = useStaffWords()
  const nameOf = useIngredientName()
  const may = useMay()
  usePageTitle(t('lab.results'))
  const lot = ({ lotNumber, ingredientId, ingredientNameEn, ingredientNameSw }: AssayRow): string =>
    t('lots.named', { number: lotNumber, name: nameOf({ id: ingredientId, nameEn: ingredientNameEn, nameSw: ingredientNameSw }) })
  const recorded = ({ recordedBy, recordedAt }: AssayRow): string =>
    `${recordedBy}, ${formatDate(recordedAt, language)} ${formatTime(recordedAt)}`
  const columns: ListColumn<AssayRow>[] = [
    { key: 'lot', title: t('lots.lot'), cell: lot },
    { key: 'analyte', title: t('lab.analyte'), sortBy: 'analyte', cell: (row) => analyteName(row.analyte, t) },
    { key: 'result', title: t('lab.result'), right: true, cell: (row) => <ResultFigure assay={row} /> },
    { key: 'day', title: t('lab.day'), sortBy: 'measuredOn', cell: (row) => formatDate(row.measuredOn, language) },
    { key: 'method', title: t('lab.methodShort'), cell: (row) => methodWords(row, t) },
    { key: 'laboratory', title: t('lab.laboratory'), cell: (row) => row.laboratory },
    { key: 'by', title: t('lab.by'), sortBy: 'recordedAt', cell: recorded },
  ]
  return (
    <div className="k-page">
      <h1>{t('lab.results')}</h1>
      {may('create', 'assays') && (
        <div className="k-row">
          <a className="k-button" href="#/record-samples">
            {t('bench.batchTitle')}
          </a>
          <a className="k-button" href="#/import-results">
            {t('assayImport.title')}
          </a>
        </div>
      )}
      <ServerList<AssayRow>
        resource="assays"
        sort={{ field: 'recordedAt', order: 'DESC' }}
        search
        tools={
          <ListSelect
            name="analyte"
            label={t('lab.analyte')}
            choices={ANALYTES.map((value) => ({ value, label: analyteName(value, t) }))}
          />
        }
        filters={[{ key: 'standing', label: t('lab.standing'), filter: { current: 'yes' } }]}
        columns={columns}
        href={(row) => `/lots/${row.lotId}/show`}
        card={(row) => (
          <>
            <span className="k-strong">{lot(row)}</span>
            <span>
              {analyteName(row.analyte, t)}: <ResultFigure assay={row} />
            </span>
            <span className="k-caption">
              {formatDate(row.measuredOn, language)}, {methodWords(row, t)}
            </span>
          </>
        )}
        empty={<Empty>{t('lab.resultsEmpty')}</Empty>}
      />
    </div>
  )
}

export default AssayList
