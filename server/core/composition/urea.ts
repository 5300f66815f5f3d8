import type { Result } from './assays.js'

/**
 * Ingredients whose protein is known to be raised with urea: cakes and meals of oilseeds, fish meals and dried small fish.
 * From memory (`safety_rules.csv` NPN-01 "sign of adulteration in cakes and fish", FISH-06 "test urea too"; `ingredients.csv`
 * names urea for soya and fish meal).
 */
export const ureaIsKnownFraud = (ingredientKey: string, category: string): boolean =>
  category === 'oilseed_meal' || (category === 'animal_protein' && /fish|omena|dagaa/.test(ingredientKey))

/** Whether measured nitrogen may be believed to be protein: `not-needed` where urea is no known fraud. */
export type UreaState = 'not-needed' | 'clear' | 'found' | 'untested'

export const ureaState = (result: Result | undefined, knownFraud: boolean): UreaState => {
  if (result && !result.belowDetection && result.value > 0) return 'found'
  if (result) return 'clear'
  return knownFraud ? 'untested' : 'not-needed'
}
