/**
 * The nutrients Kinu computes with. Ids are the keys of `seed/reference/standards.README.md`, columns those of
 * `seed/reference/ingredients.csv`. All are on the as-fed basis.
 */
export const NUTRIENTS = {
  DM: { unit: '%', column: 'dry_matter_pct' },
  CP: { unit: '%', column: 'crude_protein_pct' },
  EE: { unit: '%', column: 'ether_extract_pct' },
  CF: { unit: '%', column: 'crude_fibre_pct' },
  ash: { unit: '%', column: 'ash_pct' },
  starch: { unit: '%', column: 'starch_pct' },
  sugars: { unit: '%', column: 'sugars_pct' },
  AME: { unit: 'kcal/kg', column: 'ame_poultry_kcal_per_kg' },
  Ca: { unit: '%', column: 'calcium_pct' },
  totP: { unit: '%', column: 'total_phosphorus_pct' },
  avP: { unit: '%', column: 'available_phosphorus_pct' },
  phytP: { unit: '%', column: 'phytate_phosphorus_pct' },
  Na: { unit: '%', column: 'sodium_pct' },
  K: { unit: '%', column: 'potassium_pct' },
  Cl: { unit: '%', column: 'chloride_pct' },
  Mg: { unit: '%', column: 'magnesium_pct' },
  LA: { unit: '%', column: 'linoleic_acid_pct' },
  Lys: { unit: '%', column: 'lysine_pct' },
  Met: { unit: '%', column: 'methionine_pct' },
  MetCys: { unit: '%', column: 'met_cys_pct' },
  Cys: { unit: '%', column: 'cystine_pct' },
  Thr: { unit: '%', column: 'threonine_pct' },
  Trp: { unit: '%', column: 'tryptophan_pct' },
  Arg: { unit: '%', column: 'arginine_pct' },
  Ile: { unit: '%', column: 'isoleucine_pct' },
  Leu: { unit: '%', column: 'leucine_pct' },
  Val: { unit: '%', column: 'valine_pct' },
  His: { unit: '%', column: 'histidine_pct' },
  Phe: { unit: '%', column: 'phenylalanine_pct' },
  Tyr: { unit: '%', column: 'tyrosine_pct' },
  Gly: { unit: '%', column: 'glycine_pct' },
  Ser: { unit: '%', column: 'serine_pct' },
  TDF: { unit: '%', column: 'total_dietary_fibre_pct' },
  choline: { unit: 'mg/kg', column: 'choline_mg_per_kg' },
  xanthophylls: { unit: 'mg/kg', column: 'xanthophylls_mg_per_kg' },
  SID_Lys: { unit: '%', column: null },
  SID_Met: { unit: '%', column: null },
  SID_Cys: { unit: '%', column: null },
  SID_MetCys: { unit: '%', column: null },
  SID_Thr: { unit: '%', column: null },
  SID_Trp: { unit: '%', column: null },
  SID_Arg: { unit: '%', column: null },
  SID_Ile: { unit: '%', column: null },
  SID_Val: { unit: '%', column: null },
  DEB: { unit: 'mEq/kg', column: null },
} as const satisfies Record<string, { unit: string; column: string | null }>

export type NutrientId = keyof typeof NUTRIENTS
export const NUTRIENT_IDS = Object.keys(NUTRIENTS) as readonly NutrientId[]

/** How a value is known, best first. A sum or a mix carries the weakest of its parts. */
export const KNOWN_BY = ['measured', 'worked-out', 'supplier', 'book', 'below-detection', 'structural-zero', 'memory', 'unknown'] as const
export type KnownBy = (typeof KNOWN_BY)[number]
