import { formatExactKg, formatNumber, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Picture } from './Picture'

export type MixPart = {
  readonly key: string
  readonly name: string
  readonly sharePct: number
  /** Exact decimal text, three decimals. */
  readonly kg: string
  /** A code that is empty (an ingredient at book values) is not told. */
  readonly lots: readonly { readonly code: string; readonly kg: string }[]
  /** As shown: "KES 12,300". */
  readonly cost?: string | undefined
}

type MixBarsProps = {
  readonly parts: readonly MixPart[]
  readonly totalKg: string
  readonly totalCost: string
  /** Instead of the whole mix told in one sentence. */
  readonly sentence?: string | undefined
  /** As low as can be: lots and costs stand in the table alone. */
  readonly compact?: boolean
}

/** Under this share an ingredient goes through the pre-blend and is told in grams, below the bars. */
const PRE_BLEND_UNDER_PCT = 0.5

const grams = (kg: string): string => `${formatNumber(Math.round(Number(kg) * 1000), 0)}\u00a0g`

/** What goes into the mix: bars sorted by kilograms, the lots of one ingredient as segments parted by gaps. */
export const MixBars = ({ parts, totalKg, totalCost, sentence, compact = false }: MixBarsProps) => {
  const { t } = useStaffWords()
  const sorted = [...parts].sort((a, b) => Number(b.kg) - Number(a.kg))
  const large = sorted.filter((part) => part.sharePct >= PRE_BLEND_UNDER_PCT)
  const small = sorted.filter((part) => part.sharePct < PRE_BLEND_UNDER_PCT)
  const longest = Math.max(...large.map((part) => Number(part.kg)), 0.001)
  const codes = (part: MixPart): string =>
    part.lots
      .map((lot) => lot.code)
      .filter(Boolean)
      .join(', ')
  const partTold = (part: MixPart): string => {
    const facts = { name: part.name, kg: formatNumber(part.kg, 3) }
    return codes(part) ? t('picture.mixPart', { ...facts, lots: codes(part) }) : t('picture.mixPartPlain', facts)
  }
  const told = sorted.map(partTold).join(', ')
  const column = (key: 'name' | 'kg' | 'share' | 'lots' | 'cost') => ({
    title: t(`picture.column.${key}`),
    right: key === 'kg' || key === 'share' || key === 'cost',
  })
  return (
    <Picture
      sentence={sentence ?? t('picture.mix', { total: formatNumber(totalKg, 0), parts: told, cost: totalCost })}
      table={{
        columns: [column('name'), column('kg'), column('share'), column('lots'), column('cost')],
        rows: sorted.map((part) => [part.name, formatNumber(part.kg, 3), formatPercent(part.sharePct, 2), codes(part), part.cost ?? '']),
      }}
    >
      {large.map((part) => (
        <div className="k-mix-row" key={part.key} data-compact={compact || undefined}>
          <div className="k-mix-label">{part.name}</div>
          <div className="k-mix-bar" style={{ width: `${(Number(part.kg) / longest) * 100}%` }}>
            {part.lots.map((lot) => (
              <div key={lot.code} className="k-mix-segment" style={{ flexGrow: Number(lot.kg) }} />
            ))}
          </div>
          <div className="k-mix-figures">
            <b>{formatExactKg(part.kg)}</b> {formatPercent(part.sharePct)}{' '}
            {!compact && [codes(part) && t('picture.lot', { code: codes(part) }), part.cost].filter(Boolean).join(' ')}
          </div>
        </div>
      ))}
      {small.length > 0 && (
        <p className="k-mix-figures">
          <b>{t('picture.inPreBlend')}:</b> {small.map((part) => `${part.name} ${grams(part.kg)}`).join(', ')}
        </p>
      )}
    </Picture>
  )
}
