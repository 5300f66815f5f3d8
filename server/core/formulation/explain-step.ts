import { NUTRIENTS, type NutrientId } from '../composition/nutrients.js'
import { describeRow } from './row-id.js'
import { sensibleStep } from './sensible-step.js'

const isNutrient = (id: string): id is NutrientId => Object.hasOwn(NUTRIENTS, id)

/** The first decimal place after the leading figure: 0.1 for 2.4, 10 for 350, 0.00001 for 0.0004. */
const tenthOf = (limit: number): number => (limit === 0 ? 0.1 : 10 ** (Math.floor(Math.log10(Math.abs(limit))) - 1))

/**
 * The step in which people change a limit, in the limit's own unit: that of its nutrient; for amounts or fractions of a lot, an
 * ingredient or a group a hundredth of the whole, less where the limit itself is small; else the next decimal place. Common practice, no source.
 */
export function stepOf(rowId: string, limit: number, whole: number): number {
  const meaning = describeRow(rowId)
  switch (meaning.kind) {
    case 'nutrient':
      return isNutrient(meaning.nutrient) ? sensibleStep(meaning.nutrient) : tenthOf(limit)
    case 'stock':
    case 'lot':
    case 'ingredient':
    case 'group':
      return Math.min(whole / 100, tenthOf(limit))
    default:
      return tenthOf(limit)
  }
}

/** A value moved outwards to the next whole step, so that what was just possible stays possible: 19.84 lowered by 0.1 is 19.8. */
export function roundedOutwards(value: number, step: number, direction: 1 | -1): number {
  const steps = value / step
  const whole = direction > 0 ? Math.ceil(steps - 1e-6) : Math.floor(steps + 1e-6)
  return Number((whole * step).toPrecision(12))
}
