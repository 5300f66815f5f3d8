import { globRank } from './precedence.js'

const FISH = 'fish_meal_*|omena_*'
const COTTON = 'cottonseed_*'
const BRANS = 'rice_bran_*|rice_polish'
const MAIZE = 'maize_yellow|maize_white'

/** The words of the rule table for ingredients, as globs of ingredient keys. */
const KEYS: Readonly<Record<string, string>> = {
  'ingredient lot (any feed material)': '*',
  'maize grain': MAIZE,
  'sorghum grain': 'sorghum_*',
  'wheat grain': 'wheat',
  'millet grain': 'millet_*',
  'barley grain': 'barley',
  'rice bran': BRANS,
  'maize bran or germ': 'maize_bran_*|maize_germ',
  'wheat bran or pollard': 'wheat_bran|wheat_pollard',
  'soya bean meal': 'soybean_meal_*|soybean_cake_*',
  'full-fat soya (roasted)': 'soya_full_fat_*',
  'sunflower cake': 'sunflower_cake_*|sunflower_meal_*',
  'cottonseed cake': COTTON,
  'groundnut cake': 'groundnut_cake_*|groundnut_meal_*',
  'copra cake': 'copra_*',
  'fish meal or dried small fish': FISH,
  'meat or blood meal': 'meat_*|blood_meal',
  'cassava chips': 'cassava_*',
  'leaf meal': '*_leaf_meal|lucerne_*|sweet_potato_vine_meal',
  'molasses (dry matter rule)': 'molasses_*',
  'bone meal or mineral': 'limestone|oyster_shell|*_phosphate|bone_meal_*|salt|sodium_bicarbonate|potassium_carbonate',
  'vitamin-mineral premix': 'premix_*',
  'maize|maize germ|maize bran|cottonseed cake|sunflower cake|groundnut cake|copra|rice bran lots': [
    MAIZE,
    'maize_germ|maize_bran_*',
    COTTON,
    'sunflower_cake_*|sunflower_meal_*|groundnut_*|copra_*',
    BRANS,
  ].join('|'),
  // Of a lot nobody knows yet for which birds it is, so the limit for young birds holds.
  'immature poultry: maize, groundnut products, other feeds (not cottonseed meal); and any lot of unknown use': '*',
  'poultry of any age: cottonseed meal only': COTTON,
  // Items of rules on shares of the feed, and on tests of a lot.
  'salt in dried small fish or fish meal': FISH,
  'acid-insoluble ash (sand) in dried small fish': 'omena_*|fish_meal_local_*',
  'cottonseed cake (undecorticated or expeller)': COTTON,
  'raw (unheated) soya bean': 'soya_raw*|soybean_raw*',
  'fish meal (incl. dried small fish)': FISH,
  'fish oil': 'fish_oil*',
  'ruminant meat and bone meal': 'meat_bone_meal_*',
  'poultry by-product or feather meal in poultry feed': 'feather_meal_*|poultry_by_product_*',
  'urea or other non-protein nitrogen': 'urea*',
  'DL-methionine added': 'dl_methionine_*',
  'L-lysine HCl added': 'l_lysine_*',
  'L-threonine added': 'l_threonine_*',
  'L-tryptophan added': 'l_tryptophan_*',
}

/** Whether the words of a rule mean this ingredient. Words that are not listed mean none: such rules are not evaluated. */
export const meansIngredient = (words: string, ingredientKey: string): boolean => {
  const glob = KEYS[words]
  return glob !== undefined && globRank(glob, ingredientKey) > 0
}
/** Bought mixtures of vitamins and trace minerals: without one a feed has only the vitamins that storage left in its grains. */
export const isVitaminPremix = (ingredientKey: string): boolean => meansIngredient('vitamin-mineral premix', ingredientKey)
export const isIngredientWord = (words: string): boolean => words in KEYS

/** Cottonseed has limits of its own under US law, so the general one does not hold for it. */
export const exceptedFrom = (words: string, ingredientKey: string): boolean =>
  words.includes('(not cottonseed meal)') && globRank(COTTON, ingredientKey) > 0

/**
 * Categories in which moulds do not grow (mineral, pure, fatty or used in grams): no mould poison is looked for in them. Common
 * practice, no source.
 */
const WITHOUT_MOULD = ['mineral', 'amino_acid', 'vitamin', 'fat', 'premix']
export const canCarryMould = (category: string): boolean => !WITHOUT_MOULD.includes(category)
