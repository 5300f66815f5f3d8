import type { PictogramName } from '#core/pictogram/paths'

type Face = readonly [nameEn: string, nameSw: string, pictogram: PictogramName]

/**
 * What each ingredient is called, short enough for a batch sheet, and its picture. Swahili as the mill's word list has it; where the list
 * has no word, a plain one that keepers use. The botanical and table names stay in the reference.
 */
export const INGREDIENT_FACES: Readonly<Record<string, Face>> = {
  maize_yellow: ['Yellow maize', 'Mahindi ya njano', 'maize-cob'],
  maize_white: ['White maize', 'Mahindi meupe', 'maize-cob'],
  sorghum_low_tannin: ['White sorghum, low tannin', 'Mtama mweupe', 'maize-cob'],
  sorghum_high_tannin: ['Brown sorghum, high tannin', 'Mtama mwekundu', 'maize-cob'],
  millet_pearl: ['Pearl millet', 'Uwele', 'maize-cob'],
  millet_finger: ['Finger millet', 'Ulezi', 'maize-cob'],
  wheat: ['Wheat', 'Ngano', 'maize-cob'],
  barley: ['Barley', 'Shayiri', 'maize-cob'],
  triticale: ['Triticale', 'Tritikale', 'maize-cob'],
  amaranth_grain: ['Amaranth grain', 'Mbegu za mchicha', 'maize-cob'],
  rice_broken: ['Broken rice', 'Chenga za mchele', 'maize-cob'],
  rice_bran_full_fat: ['Rice bran, full fat', 'Pumba za mpunga zenye mafuta', 'bran-heap'],
  rice_bran_medium: ['Rice bran', 'Pumba za mpunga', 'bran-heap'],
  rice_bran_defatted: ['Rice bran, de-oiled', 'Pumba za mpunga zilizotolewa mafuta', 'bran-heap'],
  rice_polish: ['Rice polishings', 'Pumba laini za mpunga', 'bran-heap'],
  maize_bran_low_fibre: ['Maize bran', 'Pumba za mahindi', 'bran-heap'],
  cereal_offal_high_fibre: ['Coarse cereal bran', 'Pumba ngumu za nafaka', 'bran-heap'],
  maize_germ: ['Maize germ', 'Kiini cha mahindi', 'bran-heap'],
  wheat_bran: ['Wheat bran', 'Pumba za ngano', 'bran-heap'],
  wheat_pollard: ['Wheat pollard', 'Polad', 'bran-heap'],
  cassava_root_meal: ['Cassava meal', 'Unga wa muhogo', 'bran-heap'],
  molasses_cane: ['Cane molasses', 'Molasi', 'oil-drop'],
  soybean_meal_44: ['Soya bean meal 44', 'Mashudu ya soya 44', 'soya-pod'],
  soybean_meal_48: ['Soya bean meal 48', 'Mashudu ya soya 48', 'soya-pod'],
  soybean_cake_expeller: ['Soya cake', 'Mashudu ya soya', 'soya-pod'],
  soya_full_fat_roasted: ['Full-fat soya, roasted', 'Soya iliyokaangwa', 'soya-pod'],
  sunflower_cake_high_fibre: ['Sunflower cake', 'Mashudu ya alizeti', 'sunflower'],
  sunflower_meal_low_fibre: ['Sunflower meal, low fibre', 'Mashudu ya alizeti yaliyokobolewa', 'sunflower'],
  cottonseed_cake_decorticated: ['Cottonseed cake, hulled', 'Mashudu ya pamba yaliyokobolewa', 'cotton-boll'],
  cottonseed_cake_undecorticated: ['Cottonseed cake, with hulls', 'Mashudu ya pamba yenye maganda', 'cotton-boll'],
  groundnut_cake_expeller: ['Groundnut cake', 'Mashudu ya karanga', 'groundnut'],
  groundnut_meal_solvent: ['Groundnut meal', 'Mashudu ya karanga yasiyo na mafuta', 'groundnut'],
  groundnut_kernel: ['Groundnut kernels, reject', 'Karanga za kukataliwa', 'groundnut'],
  sesame_cake_expeller: ['Sesame cake', 'Mashudu ya ufuta', 'sunflower'],
  sesame_seed: ['Sesame seed', 'Ufuta', 'sunflower'],
  rapeseed_meal: ['Rapeseed meal', 'Mashudu ya kanola', 'sunflower'],
  linseed: ['Linseed', 'Kitani (mbegu)', 'sunflower'],
  niger_seed: ['Niger seed', 'Nuku (mbegu za niger)', 'sunflower'],
  copra_cake: ['Copra cake', 'Mashudu ya nazi', 'groundnut'],
  palm_kernel_cake: ['Palm kernel cake', 'Mashudu ya mbegu za mawese', 'groundnut'],
  palm_kernel_meal_solvent: ['Palm kernel meal', 'Mashudu ya mbegu za mawese yasiyo na mafuta', 'groundnut'],
  field_pea: ['Field pea', 'Njegere', 'soya-pod'],
  cowpea: ['Cowpea, heated', 'Kunde zilizopashwa moto', 'soya-pod'],
  pigeon_pea: ['Pigeon pea, heated', 'Mbaazi zilizopashwa moto', 'soya-pod'],
  chickpea: ['Chickpea', 'Dengu', 'soya-pod'],
  green_gram: ['Green gram', 'Choroko (ndengu)', 'soya-pod'],
  lablab_bean: ['Lablab bean', 'Fiwi (njahi)', 'soya-pod'],
  kidney_bean_heat_treated: ['Kidney bean, heated', 'Maharagwe yaliyopashwa moto', 'soya-pod'],
  fish_meal_65: ['Fish meal 65', 'Unga wa samaki 65', 'fish'],
  fish_meal_60: ['Fish meal 60', 'Unga wa samaki 60', 'fish'],
  fish_meal_local_50: ['Fish meal, local', 'Unga wa samaki wa kienyeji', 'fish'],
  omena_dagaa_meal: ['Dried small fish', 'Dagaa (omena)', 'fish'],
  blood_meal: ['Blood meal', 'Unga wa damu', 'bone'],
  meat_bone_meal_50: ['Meat and bone meal 50', 'Unga wa nyama na mifupa 50', 'bone'],
  meat_bone_meal_45: ['Meat and bone meal 45', 'Unga wa nyama na mifupa 45', 'bone'],
  feather_meal_hydrolysed: ['Feather meal', 'Unga wa manyoya', 'bone'],
  bsf_larvae_meal_defatted: ['Fly larvae meal, part de-oiled', 'Unga wa mabuu (BSF) uliopunguzwa mafuta', 'bran-heap'],
  bsf_larvae_meal_full_fat: ['Fly larvae meal', 'Unga wa mabuu (BSF)', 'bran-heap'],
  skim_milk_powder: ['Skim milk powder, reject', 'Unga wa maziwa', 'bran-heap'],
  whey_powder_sweet: ['Whey powder', 'Unga wa whey', 'bran-heap'],
  yeast_dried_bakers: ['Dried yeast', 'Hamira kavu', 'bran-heap'],
  lucerne_meal_17: ['Lucerne meal', 'Lusini (alfalfa)', 'bran-heap'],
  moringa_leaf_meal: ['Moringa leaf meal', 'Majani ya mlonge', 'bran-heap'],
  leucaena_leaf_meal: ['Leucaena leaf meal', 'Lusina (leucaena)', 'bran-heap'],
  sweet_potato_vine_meal: ['Sweet potato vine meal', 'Majani ya viazi vitamu', 'bran-heap'],
  vegetable_oil: ['Vegetable oil', 'Mafuta ya mimea', 'oil-drop'],
  palm_oil: ['Palm oil', 'Mafuta ya mawese', 'oil-drop'],
  sunflower_oil: ['Sunflower oil', 'Mafuta ya alizeti', 'oil-drop'],
  tallow: ['Tallow', "Mafuta ya ng'ombe", 'oil-drop'],
  limestone: ['Limestone', 'Chokaa ya mifugo', 'white-stone'],
  oyster_shell: ['Oyster shell', 'Maganda ya chaza', 'white-stone'],
  dicalcium_phosphate: ['Dicalcium phosphate', 'DCP', 'white-stone'],
  monocalcium_phosphate: ['Monocalcium phosphate', 'MCP', 'white-stone'],
  monosodium_phosphate: ['Monosodium phosphate', 'Fosfati ya sodiamu', 'white-stone'],
  bone_meal_steamed: ['Bone meal, steamed', 'Unga wa mifupa', 'bone'],
  salt: ['Salt', 'Chumvi', 'salt-shaker'],
  sodium_bicarbonate: ['Sodium bicarbonate', 'Soda ya kuokea', 'salt-shaker'],
  potassium_carbonate: ['Potassium carbonate', 'Kaboneti ya potasiamu', 'salt-shaker'],
  l_lysine_hcl_78: ['Lysine', 'Laisini', 'premix-jar'],
  dl_methionine_99: ['Methionine', 'Methionini', 'premix-jar'],
  l_threonine_985: ['Threonine', 'Threonini', 'premix-jar'],
  l_tryptophan_98: ['Tryptophan', 'Triptofani', 'premix-jar'],
  l_valine_98: ['Valine', 'Valini', 'premix-jar'],
  l_arginine_98: ['Arginine', 'Ajinini', 'premix-jar'],
  l_isoleucine_98: ['Isoleucine', 'Isolusini', 'premix-jar'],
  choline_chloride_60: ['Choline chloride 60 %', 'Kolini kloridi 60 %', 'premix-jar'],
  premix_generic: ['Vitamin-mineral premix', 'Premiksi', 'premix-jar'],
}

type ShelfLife = { readonly days: number; readonly source: string }
const days = (count: number, source: string): ShelfLife => ({ days: count, source })

/**
 * How long a lot keeps in a dry store, from `mill_practice.csv` "storage life" (all TEXTBOOK, from memory; the shorter end of each range,
 * months of 30 days). Ingredients that the table does not name have none: the store keeper reads the label.
 */
export const shelfLifeOf = (key: string, category: string): ShelfLife | undefined => {
  if (key === 'premix_generic') return days(90, 'STO-04')
  if (key.startsWith('maize_') && category === 'cereal') return days(180, 'STO-06')
  if (category === 'oilseed_meal') return days(90, 'STO-07')
  if (key === 'rice_bran_full_fat' || key === 'rice_bran_medium' || key === 'rice_polish') return days(7, 'STO-08')
  if (key.startsWith('fish_meal')) return days(90, 'STO-09')
  return undefined
}
