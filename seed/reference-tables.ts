/** The published tables of `seed/reference` as typed rows, each value with its source and whether it was read or remembered. */
export { readAssayErrors } from './reference-assay-errors.js'
export { BIRD_GROUPS, readIngredients, type BirdGroup, type ReferenceFigure, type ReferenceIngredient } from './reference-ingredients.js'
export {
  readCoccidiostats,
  readMicronutrients,
  readMillPractice,
  readRequirements,
  readSafetyRules,
  readSafetyTables,
  type MillPracticeRow,
} from './reference-rules.js'
export { readSources } from './reference-sources.js'
