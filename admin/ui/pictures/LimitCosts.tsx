import { useStaffWords } from '../../i18n/words'
import { Picture } from './Picture'

export type LimitCost = {
  readonly key: string
  /** "protein". */
  readonly name: string
  /** One sensible step, as shown: "16.5 %" to "16.4 %". */
  readonly from: string
  readonly to: string
  /** Money a tonne for that step: number for the bar, text as shown. */
  readonly saving: number
  readonly savingText: string
  /** Down or up to where it holds, as shown. */
  readonly until?: string | undefined
  /** The whole row in words, where more than its end is to be told. */
  readonly told?: string | undefined
}

/** What each limit costs: dearest first, one sensible step each, with the range in which it holds. */
export const LimitCosts = ({ costs, sentence }: { costs: readonly LimitCost[]; sentence: string }) => {
  const { t } = useStaffWords()
  const sorted = [...costs].sort((a, b) => b.saving - a.saving)
  const most = Math.max(...sorted.map((cost) => cost.saving), 0.001)
  const toldOf = ({ from, to, savingText, until, told }: LimitCost): string =>
    told ?? (until ? t('picture.saves', { from, to, money: savingText, until }) : t('picture.savesPlain', { from, to, money: savingText }))
  return (
    <Picture
      sentence={sentence}
      table={{
        columns: [
          { title: t('picture.column.limit') },
          { title: t('picture.column.from'), right: true },
          { title: t('picture.column.to'), right: true },
          { title: t('picture.column.saving'), right: true },
        ],
        rows: sorted.map((cost) => [cost.name, cost.from, cost.to, cost.savingText]),
      }}
    >
      {sorted.map((cost) => (
        <div className="k-cost-row" key={cost.key}>
          <div className="k-cost-label k-strong">{cost.name}</div>
          <div className="k-cost-bar" style={{ width: `${(cost.saving / most) * 100}%` }} />
          <div className="k-tabular">{toldOf(cost)}</div>
        </div>
      ))}
    </Picture>
  )
}
