import { useStaffWords } from '../../i18n/words'
import { formatPercent, formatNumber, withUnit } from '../../format/numbers'
import { Card } from '../../ui/Card'
import { LimitSource } from './LimitSource'
import { limitFigure, nutrientLimitValue, sidesTold } from './limitWords'
import { useIngredients } from './useIngredients'
import type { Version } from './versionForm'

const share = (value: number | undefined): string | undefined =>
  value === undefined ? undefined : formatPercent(value, String(value).split('.')[1]?.length ?? 0)
const plain = (value: number | undefined): string | undefined => (value === undefined ? undefined : limitFigure(value))

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
  const { nutrients, ingredients, groups, ratios } = version.limits
  const { medication } = version
  return (
    <>
      <Rows
        title={t('limit.nutrients')}
        version={version}
        rows={nutrients.map(({ nutrient, min, max }) => ({
          key: nutrient,
          nutrient,
          sentence: sidesTold(
            t(`nutrient.${nutrient}`),
            {
              min: min === undefined ? undefined : nutrientLimitValue(nutrient, min),
              max: max === undefined ? undefined : nutrientLimitValue(nutrient, max),
            },
            { t },
          ),
        }))}
      />
      <Rows
        title={t('limit.ingredients')}
        version={version}
        rows={ingredients.map(({ ingredientId, minPct, maxPct }) => ({
          key: ingredientId,
          sentence: sidesTold(nameOf(ingredientId), { min: share(minPct), max: share(maxPct) }, { t }),
        }))}
      />
      <Rows
        title={t('limit.groups')}
        version={version}
        rows={groups.map(({ id, ingredientIds, minPct, maxPct }) => ({
          key: id,
          sentence: sidesTold(ingredientIds.map(nameOf).join(', '), { min: share(minPct), max: share(maxPct) }, { t }),
        }))}
      />
      <Rows
        title={t('limit.ratios')}
        version={version}
        rows={ratios.map(({ id, numerator, denominator, min, max }) => ({
          key: id,
          sentence: sidesTold(
            t('limit.ratio', { numerator: t(`nutrient.${numerator}`), denominator: t(`nutrient.${denominator}`) }),
            { min: plain(min), max: plain(max) },
            { t },
          ),
        }))}
      />
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
