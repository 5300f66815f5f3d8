/** The cooperative's feeds. Nutrient limits come from the requirement set, ingredient limits from the usual highest shares; these are added on top. */
export type DemoFormula = {
  nameEn: string
  nameSw: string
  stage: string
  source: string
  /** Changes of ingredient limits, per cent of the feed. */
  ingredients: Readonly<Record<string, { minPct?: number; maxPct?: number }>>
  medication?: { active: string; mgPerKg: number; ingredientId: string }
  /** How far the version has come. */
  until: 'draft' | 'submitted' | 'approved'
  note?: string
}

const PREMIX = { premix_generic: { minPct: 0.5, maxPct: 0.5 } }
export const COCCIDIOSTAT_PREMIX = 'salinomycin_premix_12'

export const FORMULAS: readonly DemoFormula[] = [
  { nameEn: 'Layer mash', nameSw: 'Chakula cha kuku wa mayai', stage: 'layer_peak', source: 'REC', ingredients: PREMIX, until: 'approved' },
  {
    nameEn: 'Layer mash, late lay',
    nameSw: 'Chakula cha kuku wa mayai, mwisho wa kutaga',
    stage: 'layer_late',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Layer chick mash',
    nameSw: 'Chakula cha vifaranga wa mayai',
    stage: 'layer_chick_0_6wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Grower mash',
    nameSw: 'Chakula cha kukuzia',
    stage: 'layer_grower_6_12wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Developer mash',
    nameSw: 'Chakula cha kukuzia, wiki 12 hadi 18',
    stage: 'layer_developer_12_18wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Broiler starter',
    nameSw: 'Chakula cha kuanzia, kuku wa nyama',
    stage: 'broiler_starter_0_3wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Broiler grower',
    nameSw: 'Chakula cha kukuzia, kuku wa nyama',
    stage: 'broiler_grower_3_6wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Broiler starter with coccidiostat',
    nameSw: 'Chakula cha kuanzia chenye dawa, kuku wa nyama',
    stage: 'broiler_starter_0_3wk',
    source: 'REC',
    ingredients: PREMIX,
    medication: { active: 'salinomycin sodium', mgPerKg: 60, ingredientId: COCCIDIOSTAT_PREMIX },
    until: 'approved',
    note: 'Only for broilers, never for hens. Ask the veterinarian before use.',
  },
  {
    nameEn: 'Kienyeji chick mash',
    nameSw: 'Chakula cha vifaranga wa kienyeji',
    stage: 'dual_purpose_chick_0_8wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Kienyeji grower mash',
    nameSw: 'Chakula cha kukuzia kienyeji',
    stage: 'dual_purpose_grower_8_20wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'approved',
  },
  {
    nameEn: 'Kienyeji layer mash',
    nameSw: 'Chakula cha kienyeji wanaotaga',
    stage: 'dual_purpose_layer',
    source: 'REC',
    ingredients: PREMIX,
    until: 'submitted',
    note: 'For the hens of members who sell eggs at the roadside.',
  },
  {
    nameEn: 'Broiler finisher',
    nameSw: 'Chakula cha kumalizia, kuku wa nyama',
    stage: 'broiler_finisher_6_8wk',
    source: 'REC',
    ingredients: PREMIX,
    until: 'draft',
  },
]
