import type { ChildLotView, MakingView } from '#contract/derived-lots'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { StateWord } from '../../ui/StateWord'
import type { LotDetail } from './useLot'

const BAR = 120
const WIDTH = 300

/** Each parent as a part of the whole, as wide as its share: its number stands in it where there is room. The list below says the same. */
const Picture = ({ making, number, said }: { making: MakingView; number: number; said: string }) => {
  const taken = Number(making.takenKg)
  const parts = making.parents.map((parent) => (WIDTH * Number(parent.kg)) / taken)
  return (
    <svg className="k-origin" viewBox={`0 0 ${WIDTH} ${BAR}`} role="img" aria-label={said}>
      {making.parents.map((parent, index) => {
        const x = parts.slice(0, index).reduce((sum, width) => sum + width, 0)
        const width = parts[index] ?? 0
        const middle = x + width / 2
        return (
          <g key={parent.lotId}>
            <rect x={x + 1} y={1} width={Math.max(0, width - 2)} height={38} />
            {width > 34 && (
              <text x={middle} y={26} textAnchor="middle">
                {parent.number}
              </text>
            )}
            <path d={`M${middle} 40 L${WIDTH / 2} 78`} />
          </g>
        )
      })}
      <rect x={WIDTH / 2 - 60} y={80} width={120} height={38} />
      <text x={WIDTH / 2} y={105} textAnchor="middle">
        {number}
      </text>
    </svg>
  )
}

const useSums = (): ((making: MakingView) => string) => {
  const { t } = useStaffWords()
  return ({ takenKg, gotKg, lossKg, lossKind }) => {
    const facts = { taken: formatKg(takenKg), got: formatKg(gotKg) }
    if (lossKind === null) return t('derived.sums', facts)
    return Number(lossKg) < 0
      ? t('derived.sumsGained', { ...facts, gained: formatKg(lossKg.replace('-', '')) })
      : t('derived.sumsLost', { ...facts, lost: formatKg(lossKg), kind: t(`derived.lossKind.${lossKind}`) })
  }
}

/** Which lots a made lot came from, with their kilograms, and what weighing said. */
const Origin = ({ lot, making }: { lot: LotDetail; making: MakingView }) => {
  const { t } = useStaffWords()
  const sums = useSums()
  const { moistureBeforePct: before, moistureAfterPct: after } = making
  const told = ({ number, kg, parents }: MakingView['parents'][number]): string => {
    const of = parents.map((one) => t('derived.part', { number: one.number, kg: formatKg(one.kg) })).join(', ')
    return of === '' ? t('derived.part', { number, kg: formatKg(kg) }) : t('derived.partMade', { number, kg: formatKg(kg), parents: of })
  }
  return (
    <Card title={t('derived.from')}>
      <p>{t('derived.millMade', { how: t(`derived.by.${making.kind}`) })}</p>
      <Picture
        making={making}
        number={lot.number}
        said={t('derived.picture', { number: lot.number, parents: making.parents.map(told).join('; ') })}
      />
      <ul className="k-quiet-list">
        {making.parents.map((parent) => (
          <li key={parent.lotId}>
            <a href={`#/lots/${parent.lotId}/show`}>{told(parent)}</a> <StateWord thing="lot" state={parent.status} />
          </li>
        ))}
      </ul>
      <p className="k-tabular">{sums(making)}</p>
      {before !== null && after !== null && (
        <p className="k-tabular">
          {t('derived.dried', { before: formatPercent(before), after: formatPercent(after), expected: formatKg(making.expectedKg) })}
        </p>
      )}
      {making.differs && (
        <p className="k-line">
          <CheckShape verdict="warn" size={20} /> {t('derived.differs')}
        </p>
      )}
      {making.note !== '' && <p>{making.note}</p>}
      {making.undone && <p className="k-strong">{t('derived.wasUndone')}</p>}
      {making.mayUndo && (
        <a className="k-button" href={`#/lots/${lot.id}/undo-making`}>
          {t('derived.undo')}
        </a>
      )}
    </Card>
  )
}

const Children = ({ made }: { made: readonly ChildLotView[] }) => {
  const { t } = useStaffWords()
  return (
    <Card title={t('derived.children')}>
      <ul className="k-quiet-list">
        {made.map(({ lotId, number, kg, madeBy, status }) => (
          <li key={lotId}>
            <a href={`#/lots/${lotId}/show`}>
              {t('derived.child', { number, kg: formatKg(kg), how: madeBy === null ? '' : t(`derived.by.${madeBy}`) })}
            </a>{' '}
            <StateWord thing="lot" state={status} />
          </li>
        ))}
      </ul>
    </Card>
  )
}

/** Where a lot came from and what was made of it; nothing for a lot that was delivered and left as it is. */
export const LotOrigin = ({ lot }: { lot: LotDetail }) => (
  <>
    {lot.making && <Origin lot={lot} making={lot.making} />}
    {lot.children.length > 0 && <Children made={lot.children} />}
  </>
)
