import { useEffect, useState } from 'react'
import { useDataProvider } from 'react-admin'
import type { z } from 'zod'
import type { IntakeView } from '#contract/solving'
import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import { formatAccount } from '../../format/money'
import { formatNumber, withUnit } from '../../format/numbers'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import type { MillDataProvider } from '../../providers/dataProvider'
import { useWide } from '../../shell/useWide'
import { NumberField } from '../../ui/Field'
import { KnownMark } from '../../ui/KnownBy'
import { AddFromList } from './AddFromList'
import { LimitHead, LimitInputs } from './LimitInputs'
import { dayUnit, isNutrient } from './limitWords'
import type { EditorProps } from './NutrientLimits'
import { addPerDay, changeBirds, changePerDay, perDayOf, placeOf, type BirdsForm } from './versionForm'

type Intake = z.output<typeof IntakeView>

const figure = (typed: string): number | null => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? Number(reading.text) : null
}

/** What such a hen needs, eats and costs on the feed of now; nothing while the mill cannot say. */
const useIntake = (birds: BirdsForm, mix: EditorProps['mix']): Intake | undefined => {
  const mill = useDataProvider<MillDataProvider>()
  const [intake, setIntake] = useState<Intake>()
  const ame = mix?.nutrients.find(({ nutrient }) => nutrient === 'AME')?.value
  const [weightKg, temperatureC, gainG, eggMassG] = [birds.weightKg, birds.temperatureC, birds.gainG, birds.eggMassG].map(figure)
  const whole = [weightKg, temperatureC, gainG, eggMassG, ame].every((one) => one !== null && one !== undefined)
  const asked = whole
    ? JSON.stringify({
        weightKg,
        temperatureC,
        gainG,
        eggMassG,
        ameKcalPerKg: ame,
        costPerTonne: mix?.costPerTonne ? Number(mix.costPerTonne) : null,
      })
    : null
  useEffect(() => {
    setIntake(undefined)
    if (asked === null) return undefined
    const stop = new AbortController()
    const timer = setTimeout(() => {
      mill
        .act<Intake>('POST', '/intake', JSON.parse(asked), { signal: stop.signal })
        .then((answer) => !stop.signal.aborted && setIntake(answer))
        // a hen outside what the equation knows has no figures: the line is left away
        .catch(() => undefined)
    }, 300)
    return () => {
      clearTimeout(timer)
      stop.abort()
    }
  }, [asked, mill])
  return intake
}

const Told = ({ intake }: { intake: Intake }) => {
  const { t } = useStaffWords()
  return (
    <p role="status">
      {t('perDay.eats', {
        energy: withUnit(formatNumber(intake.energyKcal, 0), 'kcal'),
        feed: withUnit(formatNumber(intake.feedG, 0), 'g'),
      })}
      {intake.costPerBirdDay !== null && ` ${t('perDay.costsDay', { money: formatAccount(intake.costPerBirdDay) })}`}
      {intake.costPerDozenEggs !== null && ` ${t('perDay.costsDozen', { money: formatAccount(intake.costPerDozenEggs) })}`}{' '}
      {!intake.read && <KnownMark knownBy="memory" />} <span className="k-caption">{t('perDay.source')}</span>
    </p>
  )
}

/** A hen's day: what she needs and costs on this feed, and limits on what she gets in a day. */
export const PerDayLimits = ({ form, errorAt, onChange, mix }: EditorProps) => {
  const { t } = useStaffWords()
  const wide = useWide()
  const { birds, rows } = perDayOf(form)
  const intake = useIntake(birds, mix)
  const limited = new Set(rows.filter(({ removed }) => !removed).map(({ nutrient }) => nutrient))
  const bird = (name: keyof BirdsForm, unit: string) => (
    <NumberField
      id={`limits.perDay.birds.${name}`}
      label={t(`perDay.${name}`)}
      unit={unit}
      value={birds[name]}
      onChange={(typed) => onChange((current) => changeBirds(current, { [name]: typed }))}
      error={errorAt(`limits.perDay.birds.${name}`)}
    />
  )
  return (
    <>
      <p>{t('perDay.what')}</p>
      <div className="k-birds">
        {bird('weightKg', 'kg')}
        {bird('temperatureC', 'C')}
        {bird('gainG', 'g')}
        {bird('eggMassG', 'g')}
      </div>
      {intake && <Told intake={intake} />}
      {rows.length > 0 && <LimitHead now={t('limit.nowColumn')} />}
      {rows.map((row, index) => {
        const unit = dayUnit(row.nutrient)
        const value = mix?.nutrients.find(({ nutrient }) => nutrient === row.nutrient)?.value
        const share = NUTRIENTS[row.nutrient].unit === '%' ? 100 : 1000
        return (
          <LimitInputs
            key={row.nutrient}
            name={t('perDay.limit', { name: t(`nutrient.${row.nutrient}`) })}
            unit={unit}
            wide={wide}
            row={row}
            ids={[`limits.perDay.limits.${placeOf(rows, index)}.minPerDay`, `limits.perDay.limits.${placeOf(rows, index)}.maxPerDay`]}
            errors={[
              errorAt(`limits.perDay.limits.${placeOf(rows, index)}.minPerDay`),
              errorAt(`limits.perDay.limits.${placeOf(rows, index)}.maxPerDay`),
            ]}
            onChange={(change) => onChange((current) => changePerDay(current, index, change))}
            now={
              intake && value !== undefined ? (
                <span className="k-tabular">{withUnit(formatNumber((value / share) * intake.feedG, 2), unit)}</span>
              ) : null
            }
          />
        )
      })}
      <AddFromList
        label={t('perDay.add')}
        choices={NUTRIENT_IDS.filter((id) => id !== 'AME' && !limited.has(id)).map((id) => ({ id, name: t(`nutrient.${id}`) }))}
        onChoose={(id) => isNutrient(id) && onChange((current) => addPerDay(current, id))}
      />
    </>
  )
}
