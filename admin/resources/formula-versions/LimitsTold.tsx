import { useStaffWords } from '../../i18n/words'
import { formatNumber, withUnit } from '../../format/numbers'
import { Card } from '../../ui/Card'
import { LimitSource } from './LimitSource'
import { toldLimits } from './toldLimits'
import { useIngredients } from './useIngredients'
import type { Version } from './versionForm'

type Told = { readonly key: string; readonly sentence: string; readonly nutrient?: string }

const Rows = ({ title, rows, version }: { title: string; rows: readonly Told[]; version: Version }) =>
  rows.length === 0 ? null : (
    <Card title={title}>
      <ul className="k-quiet-list">
        {rows.map(({ key, sentence, nutrient }) => (
          <li key={key} className="k-limit-told">
            <span>{sentence}</span>
            {nutrient && <LimitSource source={version.limitSources.find((source) => source.nutrient === nutrient)} />}
          </li>
        ))}
      </ul>
    </Card>
  )

/** The limits of a version that does not change any more, in words. */
export const LimitsTold = ({ version }: { version: Version }) => {
  const { t, language } = useStaffWords()
  const { nameOf } = useIngredients(language)
  const told = toldLimits(version.limits, { t, nameOf })
  const { medication } = version
  return (
    <>
      <Rows
        title={t('limit.nutrients')}
        version={version}
        rows={told.nutrients.map(({ key, sentence }) => ({ key, sentence, nutrient: key }))}
      />
      <Rows title={t('limit.ingredients')} version={version} rows={told.ingredients} />
      <Rows title={t('limit.groups')} version={version} rows={told.groups} />
      <Rows title={t('limit.ratios')} version={version} rows={told.ratios} />
      <Rows title={t('perDay.title')} version={version} rows={told.perDay} />
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
