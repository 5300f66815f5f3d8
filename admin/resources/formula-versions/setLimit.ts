import { describeRow, type Side } from '#core/formulation/row-id'
import { PER_DAY } from '#core/requirement/intake'
import { changePerDay, changeRow, type Section, type VersionForm } from './versionForm'

/** A fixed value moves on both sides. */
const sidesAt = (side: Side, value: number): { min?: string; max?: string } => {
  const typed = String(Number(value.toPrecision(12)))
  return side === 'eq' ? { min: typed, max: typed } : { [side]: typed }
}

/** The form with the limit that a row of the mix names set to a value, told in the limit's own unit; unchanged where the form has no such limit. */
export const setLimit = (form: VersionForm, row: string, value: number): VersionForm => {
  const meaning = describeRow(row)
  const set = (section: Section, index: number, side: Side): VersionForm =>
    index < 0 ? form : changeRow(form, section, index, sidesAt(side, value))
  switch (meaning.kind) {
    case 'nutrient':
      return set(
        'nutrients',
        form.nutrients.findIndex(({ nutrient }) => nutrient === meaning.nutrient),
        meaning.side,
      )
    case 'ingredient':
      return set(
        'ingredients',
        form.ingredients.findIndex(({ ingredientId }) => ingredientId === meaning.ingredientId),
        meaning.side,
      )
    case 'group':
      return set(
        'groups',
        form.groups.findIndex(({ id }) => id === meaning.groupId),
        meaning.side,
      )
    case 'ratio': {
      if (!meaning.ratioId.startsWith(PER_DAY))
        return set(
          'ratios',
          form.ratios.findIndex(({ id }) => id === meaning.ratioId),
          meaning.side,
        )
      const index = form.perDay?.rows.findIndex(({ nutrient }) => nutrient === meaning.ratioId.slice(PER_DAY.length)) ?? -1
      return index < 0 ? form : changePerDay(form, index, sidesAt(meaning.side, value))
    }
    default:
      return form
  }
}
