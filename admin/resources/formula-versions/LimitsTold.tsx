import { useStaffWords } from '../../i18n/words'
import { formatNumber, withUnit } from '../../format/numbers'
import { Card } from '../../ui/Card'
import { commonSource, CommonSource, LimitSource, sameSource, type Source } from './LimitSource'
import { toldLimits } from './toldLimits'
import { useIngredients } from './useIngredients'
import type { Version } from './versionForm'

type Told = { readonly key: string; readonly sentence: string }
type RowsProps = { readonly title: string; readonly rows: readonly Told[]; readonly sources?: readonly Source[] }

const Rows = ({ title, rows, sources }: RowsProps) => {
  const common = sources && commonSource(sources)
  const sourceOf = (key: string): Source | undefined => sources?.find(({ nutrient }) => nutrient === key)
  return rows.length === 0 ? null : (
    <Card title={title}>
      {common && <CommonSource source={common} />}
      <ul className="k-quiet-list">
        {rows.map(({ key, sentence }) => (
          <li key={key} className="k-limit-told">
            <span>{sentence}</span>
            {sources && !sameSource(sourceOf(key), common) && <LimitSource source={sourceOf(key)} />}
          </li>
        ))}
      </ul>
    </Card>
  )
}

/** The limits of a version that does not change any more, in words. */
export const LimitsTold = ({ version }: { version: Version }) => {
  const { t, language } = useStaffWords()
  const { nameOf } = useIngredients(language)
  const told = toldLimits(version.limits, { t, nameOf })
  const { medication } = version
  return (
    <>
      <Rows title={t('limit.nutrients')} rows={told.nutrients} sources={version.limitSources} />
      <Rows title={t('limit.ingredients')} rows={told.ingredients} />
      <Rows title={t('limit.groups')} rows={told.groups} />
      <Rows title={t('limit.ratios')} rows={told.ratios} />
      <Rows title={t('perDay.title')} rows={told.perDay} />
      {medication && (
        <Card title={t('limit.medicine')}>
          <p>
            {t('limit.medicated', {
              active: medication.active,
              dose: withUnit(formatNumber(medication.mgPerKg, 0), 'mg/kg'),
              premix: nameOf(medication.ingredientId),
            })}
          </p>
        </Card>
      )}
      {version.note && (
        <Card title={t('formula.note')}>
          <p>{version.note}</p>
        </Card>
      )}
    </>
  )
}
