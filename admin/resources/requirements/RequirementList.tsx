import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { RequirementView, StageView } from '#contract/requirements'
import { sourceTitle } from '#contract/source-titles'
import { NUTRIENT_IDS } from '#core/composition/nutrients'
import { formatFigure, withUnit } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { ListSelect } from '../../shell/ListSelect'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { KnownMark } from '../../ui/KnownBy'
import { Empty } from '../../ui/Waiting'
import '../lots/lots.css'

export type RequirementRow = z.output<typeof RequirementView>
type Stage = z.output<typeof StageView>

/** Published limits are shown as printed: up to three decimals, none added. */
const figureOf = (value: number): string => formatFigure(value, 3).replace(/\.?0+$/, '')

/** How a row of a table is known: mark and words. */
export const Seen = ({ seen }: { seen: string }) => {
  const { t } = useStaffWords()
  const key = seen === 'read' ? 'shelf.read' : seen === 'calc' ? 'shelf.calc' : 'shelf.memory'
  return (
    <span className="k-known">
      <KnownMark knownBy={seen === 'read' ? 'book' : seen === 'calc' ? 'worked-out' : 'memory'} />{' '}
      <span className="k-caption">{t(key)}</span>
    </span>
  )
}

const useNutrientName = (): ((id: string) => string) => {
  const { t } = useStaffWords()
  return (id) => {
    const known = [`nutrient.${id}`, `requirements.more.${id}`].find((key) => t(key as StaffKey) !== key)
    return known ? t(known as StaffKey) : id
  }
}

const Tools = () => {
  const { t, language } = useStaffWords()
  const nutrientName = useNutrientName()
  const { data: stages = [] } = useGetList<Stage>('stages', {
    pagination: { page: 1, perPage: 100 },
    sort: { field: 'id', order: 'ASC' },
    filter: {},
  })
  const used = stages.filter(({ sources }) => sources.length > 0)
  const sources = [...new Set(used.flatMap((stage) => stage.sources))].sort()
  return (
    <div className="k-tools-row">
      <ListSelect
        name="stage"
        label={t('requirements.stage')}
        choices={used.map(({ id }) => ({ value: id, label: t(`stage.${id}` as StaffKey) }))}
      />
      <ListSelect
        name="nutrient"
        label={t('requirements.nutrient')}
        choices={[...NUTRIENT_IDS, 'NaCl'].map((value) => ({ value, label: nutrientName(value) }))}
      />
      <ListSelect
        name="source"
        label={t('shelf.source')}
        choices={sources.map((value) => ({ value, label: sourceTitle(value, language) }))}
      />
    </div>
  )
}

const RequirementList = () => {
  const { t, language } = useStaffWords()
  const nutrientName = useNutrientName()
  usePageTitle(t('requirements.title'))
  const limit = (value: number | null, { unit }: RequirementRow) =>
    value === null ? (
      <span className="k-caption">{t('requirements.noLimit')}</span>
    ) : (
      <span className="k-tabular">{withUnit(figureOf(value), unit)}</span>
    )
  const stage = (row: RequirementRow): string => t(`stage.${row.stage}` as StaffKey)
  const basis = ({ basis: of }: RequirementRow): string => {
    const key = `requirements.basisOf.${of}`
    const words = t(key as StaffKey)
    return words === key ? of : words
  }
  const columns: ListColumn<RequirementRow>[] = [
    { key: 'stage', title: t('requirements.stage'), sortBy: 'stage', cell: stage },
    { key: 'nutrient', title: t('requirements.nutrient'), sortBy: 'nutrient', cell: (row) => nutrientName(row.nutrient) },
    { key: 'min', title: t('requirements.min'), right: true, cell: (row) => limit(row.min, row) },
    { key: 'target', title: t('requirements.target'), right: true, cell: (row) => limit(row.target, row) },
    { key: 'max', title: t('requirements.max'), right: true, cell: (row) => limit(row.max, row) },
    { key: 'basis', title: t('requirements.basis'), cell: basis },
    {
      key: 'source',
      title: t('shelf.source'),
      sortBy: 'source',
      cell: (row) => (
        <>
          <span lang="en">{sourceTitle(row.source, language)}</span> <Seen seen={row.seen} />
        </>
      ),
    },
  ]
  return (
    <div className="k-page">
      <h1>{t('requirements.title')}</h1>
      <p>
        {t('requirements.lead')} <a href="#/sources">{t('shelf.sources')}</a>
      </p>
      <ServerList<RequirementRow>
        resource="requirements"
        sort={{ field: 'id', order: 'ASC' }}
        perPage={50}
        tools={<Tools />}
        filters={[
          { key: 'read', label: t('shelf.read'), filter: { seen: 'read' } },
          { key: 'memory', label: t('shelf.memory'), filter: { seen: 'memory' } },
        ]}
        columns={columns}
        card={(row) => (
          <>
            <span className="k-strong">{nutrientName(row.nutrient)}</span>
            <span>{stage(row)}</span>
            <span>
              {(['min', 'target', 'max'] as const)
                .filter((side) => row[side] !== null)
                .map((side) => (
                  <span key={side} className="k-limit">
                    {t(`requirements.${side}`)} {limit(row[side], row)}
                  </span>
                ))}
            </span>
            <span className="k-caption">
              {basis(row)}; <span lang="en">{sourceTitle(row.source, language)}</span>
            </span>
            <Seen seen={row.seen} />
          </>
        )}
        empty={<Empty>{t('requirements.empty')}</Empty>}
      />
    </div>
  )
}

export default RequirementList
