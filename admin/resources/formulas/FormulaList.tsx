import { usePermissions } from 'react-admin'
import type { z } from 'zod'
import type { Role } from '#contract/access'
import type { FormulaView } from '#contract/formulas'
import { formatAccount } from '../../format/money'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { StateWord } from '../../ui/StateWord'
import { Empty } from '../../ui/Waiting'

export type Formula = z.output<typeof FormulaView>
const STATES = ['draft', 'submitted', 'approved', 'withdrawn'] as const

const FormulaList = () => {
  const { t, language } = useStaffWords()
  const { permissions: role } = usePermissions<Role | null>()
  usePageTitle(t('nav.formulas'))
  const name = (row: Formula): string => (language === 'en' ? row.nameEn : row.nameSw)
  const stage = (row: Formula): string => t(`stage.${row.stage}` as StaffKey)
  const price = ({ approved }: Formula): string => (approved?.pricePerKg ? formatAccount(approved.pricePerKg) : '')
  const approved = (row: Formula): string =>
    row.approved ? t('formula.version', { version: row.approved.version }) : t('formula.noneApproved')
  const latest = (row: Formula) => (
    <span className="k-row">
      {t('formula.version', { version: row.latest.version })} <StateWord thing="version" state={row.latest.status} />
    </span>
  )
  const columns: ListColumn<Formula>[] = [
    { key: 'name', title: t('formula.column.name'), sortBy: language === 'en' ? 'nameEn' : 'nameSw', cell: name },
    { key: 'stage', title: t('formula.column.stage'), sortBy: 'stage', cell: stage },
    { key: 'approved', title: t('formula.column.approved'), cell: approved },
    { key: 'price', title: t('formula.column.price'), right: true, cell: price },
    { key: 'latest', title: t('formula.column.latest'), cell: latest },
  ]
  const begin = role && canAccess(role, 'create', 'formulas') && (
    <a className="k-button" data-kind="main" href="#/formulas/create">
      {t('formula.new')}
    </a>
  )
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('nav.formulas')}</h1>
        {begin}
      </div>
      <ServerList<Formula>
        resource="formulas"
        sort={{ field: language === 'en' ? 'nameEn' : 'nameSw', order: 'ASC' }}
        search
        filters={STATES.map((state) => ({ key: state, label: t(`state.version.${state}`), filter: { status: state } }))}
        columns={columns}
        href={(row) => `/formulas/${row.id}/show`}
        card={(row) => (
          <>
            <span className="k-strong">{name(row)}</span>
            <span>{stage(row)}</span>
            <span className="k-tabular">{row.approved?.pricePerKg ? t('formula.perKg', { price: price(row) }) : approved(row)}</span>
            <span>{latest(row)}</span>
          </>
        )}
        empty={<Empty action={begin}>{t('formula.empty')}</Empty>}
      />
    </div>
  )
}

export default FormulaList
