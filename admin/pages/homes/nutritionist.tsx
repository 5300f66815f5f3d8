import type { MixView } from '#contract/formulas'
import { formatAccount, formatPrice } from '../../format/money'
import { formatPercent } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { costsOfLimits } from '../../resources/formula-versions/mixFigures'
import { useIngredients } from '../../resources/formula-versions/useIngredients'
import { Card } from '../../ui/Card'
import { CheckShape, type Verdict } from '../../ui/CheckShape'
import { Few } from './Few'
import { HomePage, OpenLink, useNames } from './HomePage'
import type { Home } from './useHome'
import { useFormulaAnswers, type FormulaAnswer } from './useFormulaAnswers'

const COSTLIEST = 3
const WEAKEST = 3
/** Below this share a value from memory decides nothing. */
const WORTH_SAYING = 0.05

const useFormulaName = (): ((formula: Home['formulas'][number]) => string) => {
  const { language } = useStaffWords()
  return (formula) => (language === 'en' ? formula.nameEn : formula.nameSw)
}

const Checks = ({ answer: { mix, failed } }: { answer: FormulaAnswer }) => {
  const { t } = useStaffWords()
  if (failed) return <span>{t('homes.formulas.notSolved')}</span>
  if (!mix) return <span role="status">{t('homes.formulas.working')}</span>
  const troubles = mix.findings.filter(({ severity }) => severity !== 'pass')
  const blocked = mix.kind !== 'optimal' || troubles.some(({ severity }) => severity === 'block')
  const verdict: Verdict = blocked ? 'block' : troubles.length > 0 ? 'warn' : 'pass'
  const words =
    mix.kind !== 'optimal'
      ? t('homes.formulas.infeasible')
      : troubles.length === 0
        ? t('homes.formulas.pass')
        : t('homes.formulas.troubles', { smart_count: troubles.length })
  return (
    <span className="k-line">
      <CheckShape verdict={verdict} size={20} /> {words}
    </span>
  )
}

const trouble = ({ mix }: FormulaAnswer): number =>
  !mix
    ? 0
    : mix.kind !== 'optimal'
      ? 1000
      : mix.findings.reduce((sum, { severity }) => sum + (severity === 'block' ? 100 : severity === 'warn' ? 1 : 0), 0)

const Formulas = ({ answers, submitted }: { answers: readonly FormulaAnswer[]; submitted: Home['formulas'] }) => {
  const { t } = useStaffWords()
  const name = useFormulaName()
  // what cannot be mixed or is not allowed stands first, then warnings
  const rows = [
    ...answers
      .map((answer) => ({ id: answer.formula.id, formula: answer.formula, answer }))
      .sort((a, b) => trouble(b.answer) - trouble(a.answer)),
    ...submitted.map((formula) => ({ id: formula.id, formula, answer: undefined })),
  ]
  return (
    <Card title={t('homes.formulas.title')}>
      {answers.length === 0 && <p>{t('homes.formulas.none')}</p>}
      <Few rows={rows}>
        {({ id, formula, answer }) => (
          <div className="k-home-formula">
            <a href={`#/formula-versions/${id}/show`}>{t('homes.formulas.version', { name: name(formula), version: formula.version })}</a>
            <span className="k-tabular">
              {answer?.mix?.costPerTonne && <b>{`${formatPrice(answer.mix.costPerTonne)} ${t('unit.perTonne')}`}</b>}
              {formula.pricePerKg && (
                <span className="k-caption"> ({t('formula.perKg', { price: formatAccount(formula.pricePerKg) })})</span>
              )}
            </span>
            {answer ? <Checks answer={answer} /> : <span>{t('homes.formulas.submitted')}</span>}
          </div>
        )}
      </Few>
    </Card>
  )
}

/** The dose of a medicine is no limit that one would ease, nor is anything below nothing. */
const withoutDose = (mix: MixView): MixView => ({
  ...mix,
  limitCosts: mix.limitCosts.filter(({ limit, to }) => limit['kind'] !== 'medicine' && to >= 0),
})

const Costliest = ({ answers }: { answers: readonly FormulaAnswer[] }) => {
  const { t, language } = useStaffWords()
  const { nameOf } = useIngredients(language)
  const name = useFormulaName()
  const costs = answers
    .flatMap(({ formula, mix }) =>
      mix ? costsOfLimits(withoutDose(mix), { t, nameOf }).map((cost) => ({ id: `${formula.id} ${cost.key}`, formula, cost })) : [],
    )
    .sort((a, b) => b.cost.saving - a.cost.saving)
    .slice(0, COSTLIEST)
  const done = answers.every(({ mix, failed }) => mix !== undefined || failed)
  return (
    <Card title={t('homes.limits.title')}>
      {costs.length === 0 && done && <p>{t(answers.length === 0 ? 'homes.formulas.none' : 'homes.limits.none')}</p>}
      <Few rows={costs}>
        {({ formula, cost }) =>
          t('homes.limits.told', { formula: name(formula), name: cost.name, from: cost.from, to: cost.to, money: cost.savingText })
        }
      </Few>
    </Card>
  )
}

/** Values at their limit that rest on memory or on nothing: there a test or a source would change a mix. */
const Unknown = ({ answers, waiting }: { answers: readonly FormulaAnswer[]; waiting: Home['onHold'] }) => {
  const { t } = useStaffWords()
  const name = useFormulaName()
  const { ingredient } = useNames()
  const weak = answers
    .flatMap(({ formula, mix }) =>
      (mix?.nutrients ?? [])
        .filter(({ state, weakShare }) => (state === 'at-min' || state === 'at-max') && weakShare >= WORTH_SAYING)
        .map((nutrient) => ({ id: `${formula.id} ${nutrient.nutrient}`, formula, nutrient })),
    )
    .sort((a, b) => b.nutrient.weakShare - a.nutrient.weakShare)
    .slice(0, WEAKEST)
  const done = answers.every(({ mix, failed }) => mix !== undefined || failed)
  return (
    <Card title={t('homes.unknown.title')}>
      {weak.length === 0 && done && <p>{t(answers.length === 0 ? 'homes.formulas.none' : 'homes.unknown.none')}</p>}
      <Few rows={weak}>
        {({ formula, nutrient }) =>
          t('homes.unknown.weak', {
            formula: name(formula),
            share: formatPercent(nutrient.weakShare * 100, 0),
            nutrient: t(`nutrient.${nutrient.nutrient}` as StaffKey),
          })
        }
      </Few>
      <Few rows={waiting}>
        {(lot) => (
          <a className="k-home-line" href={`#/lots/${lot.id}/show`}>
            {t('homes.unknown.toTest', { number: lot.number, name: ingredient(lot) })}
          </a>
        )}
      </Few>
    </Card>
  )
}

const Answers = ({ home }: { home: Home }) => {
  const { t } = useStaffWords()
  const answers = useFormulaAnswers(home.formulas.filter(({ status }) => status === 'approved'))
  return (
    <>
      {home.decide.length > 0 && <OpenLink href="#/decide">{t('homes.decide.more', { count: home.decide.length })}</OpenLink>}
      <div className="k-columns">
        <Formulas answers={answers} submitted={home.formulas.filter(({ status }) => status === 'submitted')} />
        <div className="k-stack">
          <Costliest answers={answers} />
          <Unknown answers={answers} waiting={home.onHold.filter(({ waitsFor }) => waitsFor === 'tests')} />
        </div>
      </div>
    </>
  )
}

/** What the approved formulas cost and fail today, which limit costs most, and what is unknown that matters. */
const NutritionistHome = () => <HomePage title="nav.today">{(home) => <Answers home={home} />}</HomePage>

export default NutritionistHome
