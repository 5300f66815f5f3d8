import type { ChildLotView, MakingView } from '#contract/derived-lots'
import { formatKg, formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { StateWord } from '../../ui/StateWord'
import { Fact } from './LotFacts'
import type { LotDetail } from './useLot'
import './origin.css'

type Parent = MakingView['parents'][number]

/** One lot that went in: its number, its state, its kilograms, and a bar as long as its share of all that was taken. */
const Part = ({ parent, takenKg }: { parent: Parent; takenKg: string }) => {
  const { t } = useStaffWords()
  const parents = parent.parents.map(({ number, kg }) => t('derived.part', { number, kg: formatKg(kg) })).join(', ')
  const how = parent.madeBy === null ? null : t(`derived.by.${parent.madeBy}`)
  return (
    <li className="k-origin-part">
      <span className="k-origin-name">
        <a href={`#/lots/${parent.lotId}/show`}>{t('derived.lot', { number: parent.number })}</a>
        <StateWord thing="lot" state={parent.status} />
      </span>
      <span className="k-strong k-tabular">{formatKg(parent.kg)}</span>
      <span className="k-origin-bar" aria-hidden>
        <span style={{ width: `${(100 * Number(parent.kg)) / Number(takenKg)}%` }} />
      </span>
      <span className="k-caption">{how === null ? parent.supplierName : t('derived.partMade', { how, parents })}</span>
    </li>
  )
}

/** What was taken, what the scale said afterwards, and what became of the rest. */
const Sums = ({ making }: { making: MakingView }) => {
  const { t } = useStaffWords()
  const { takenKg, gotKg, lossKg, lossKind, moistureBeforePct: before, moistureAfterPct: after } = making
  const isGain = Number(lossKg) < 0
  const [kg, kind] = [formatKg(lossKg.replace('-', '')), lossKind && t(`derived.lossKind.${lossKind}`)]
  return (
    <dl className="k-facts k-tabular">
      <Fact name={t('derived.sumTaken')}>{formatKg(takenKg)}</Fact>
      <Fact name={t('derived.sumGot')}>{formatKg(gotKg)}</Fact>
      {kind !== null && (
        <Fact name={t(isGain ? 'derived.sumGained' : 'derived.sumLost')}>
          {isGain ? t('derived.gainedAs', { kg }) : t('derived.lostAs', { kg, kind })}
        </Fact>
      )}
      {before !== null && after !== null && (
        <>
          <Fact name={t('derived.sumMoisture')}>
            {t('derived.moistures', { before: formatPercent(before), after: formatPercent(after) })}
          </Fact>
          <Fact name={t('derived.sumExpected')}>{formatKg(making.expectedKg)}</Fact>
        </>
      )}
    </dl>
  )
}

/** Which lots a made lot came from, with their kilograms, and what weighing said. */
const Origin = ({ lot, making }: { lot: LotDetail; making: MakingView }) => {
  const { t } = useStaffWords()
  const { parents } = making
  const lots = parents.map(({ number }) => number).join(', ')
  return (
    <Card title={t('derived.from')}>
      <p>{t(`derived.told.${making.kind}`, { lots, smart_count: parents.length })}</p>
      {making.undone && <p className="k-strong">{t('derived.wasUndone')}</p>}
      <ul className="k-quiet-list k-origin">
        {parents.map((parent) => (
          <Part key={parent.lotId} parent={parent} takenKg={making.takenKg} />
        ))}
      </ul>
      <Sums making={making} />
      {making.differs && (
        <p className="k-verdict-line">
          <CheckShape verdict="warn" size={20} /> <span>{t('derived.differs')}</span>
        </p>
      )}
      {making.note !== '' && (
        <p>
          {t('derived.note')}: {making.note}
        </p>
      )}
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
      <ul className="k-quiet-list k-origin">
        {made.map(({ lotId, number, kg, madeBy, status }) => (
          <li key={lotId} className="k-origin-part">
            <span className="k-origin-name">
              <a href={`#/lots/${lotId}/show`}>{t('derived.lot', { number })}</a>
              <StateWord thing="lot" state={status} />
            </span>
            <span className="k-strong k-tabular">{formatKg(kg)}</span>
            {madeBy !== null && <span className="k-caption">{t(`derived.by.${madeBy}`)}</span>}
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
