import type { z } from 'zod'
import type { AssayWorthView } from '#contract/solving'
import { formatPrice } from '../../format/money'
import { formatNutrient, formatPercent, withUnit } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import { isNutrient, type LimitWords } from './limitWords'
import { ingredientName } from './mixFigures'

export type AssayWorth = z.output<typeof AssayWorthView>
type Told = { readonly words: LimitWords; readonly language: Language; readonly currency: string }

/** Half the range in which a value lies nineteen times in twenty, from its standard deviation (a normal spread). */
const HALF_RANGE = 1.96
/** Below half a shilling a batch nothing is gained or lost. */
const WORTH_SAYING = 0.5
/** Rarer than this it is not worth a sentence. */
const RARE_PCT = 0.5

export type TestTold = { readonly key: string; readonly pays: boolean; readonly sentence: string; readonly more: string }

/** Each test with what it is worth for this batch; one that makes the batch dearer says so. The best first. */
export const testRows = ({ tests }: AssayWorth, { words: { t }, language, currency }: Told): TestTold[] =>
  tests
    .filter(({ worth }) => Math.abs(worth) >= WORTH_SAYING)
    .map((test) => {
      const { nutrient, lotNumber, worth, worthPerTonne, sdNow, unit, noMixPct } = test
      const name = ingredientName(test, language)
      const facts = {
        nutrient: isNutrient(nutrient) ? t(`nutrient.${nutrient}`) : nutrient,
        lot: lotNumber === 0 ? name : `${name}, ${t('picture.lot', { code: lotNumber })}`,
        money: formatPrice(Math.abs(worth), currency),
        tonne: formatPrice(Math.abs(worthPerTonne), currency),
      }
      const half = sdNow * HALF_RANGE
      const spread = withUnit(isNutrient(nutrient) ? formatNutrient(nutrient, half) : half.toPrecision(2), unit)
      const rest = noMixPct >= RARE_PCT ? [t('explain.testNoMix', { share: formatPercent(noMixPct, 0) })] : []
      return {
        key: `${test.lotId} ${nutrient}`,
        pays: worth > 0,
        sentence: t(worth > 0 ? 'explain.testWorth' : 'explain.testCosts', facts),
        more: [t('explain.testSpread', { spread }), ...rest].join(' '),
      }
    })

/** Why no test is judged; null where they are. */
export const noTestTold = ({ reason }: Pick<AssayWorth, 'reason'>, { t }: LimitWords): string | null => {
  if (reason === null) return null
  if (reason === 'no-certainty') return t('explain.testNoCertainty')
  return t(reason === 'no-mix' ? 'explain.testNoMixToday' : 'explain.testFailed')
}
