import { useState } from 'react'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../Button'
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

/** So many of the dearest are told at once where there is little room. */
const FIRST_COMPACT = 4

type LimitCostsProps = { readonly costs: readonly LimitCost[]; readonly sentence: string; readonly compact?: boolean }

/** What each limit costs: dearest first, one sensible step each, with the range in which it holds. */
export const LimitCosts = ({ costs, sentence, compact = false }: LimitCostsProps) => {
  const { t } = useStaffWords()
  const sorted = [...costs].sort((a, b) => b.saving - a.saving)
  const [all, setAll] = useState(false)
  const shown = compact && !all ? sorted.slice(0, FIRST_COMPACT) : sorted
  const most = Math.max(...sorted.map((cost) => cost.saving), 0.001)
  const toldOf = ({ from, to, savingText, until, told }: LimitCost): string =>
    told ?? (until ? t('picture.saves', { from, to, money: savingText, until }) : t('picture.savesPlain', { from, to, money: savingText }))
  return (
    <Picture
      action={
        compact &&
        sorted.length > FIRST_COMPACT && (
          <Button kind="quiet" onPress={() => setAll(!all)}>
            {t(all ? 'action.showFewer' : 'action.showAll')}
          </Button>
        )
      }
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
      {shown.map((cost) => (
        <div className="k-cost-row" key={cost.key} data-compact={compact || undefined}>
          <div className="k-cost-label k-strong">{cost.name}</div>
          <div className="k-cost-bar" style={{ width: `${(cost.saving / most) * 100}%` }} />
          <div className="k-tabular">{toldOf(cost)}</div>
        </div>
      ))}
    </Picture>
  )
}
