/** The stages of the requirement tables in words for the mill's own prints; the console has the same ones in its own words. */
const en = {
  layer_chick_0_6wk: 'layer chicks, weeks 0 to 6',
  layer_grower_6_12wk: 'layer growers, weeks 6 to 12',
  layer_developer_12_18wk: 'pullets, weeks 12 to 18',
  pre_lay: 'pullets shortly before lay',
  layer_peak: 'layers at peak of lay',
  layer_late: 'layers late in lay',
  broiler_pre_starter_0_1wk: 'broilers, week 1',
  broiler_starter_0_3wk: 'broiler starter, weeks 0 to 3',
  broiler_grower_3_6wk: 'broiler grower, weeks 3 to 6',
  broiler_finisher_6_8wk: 'broiler finisher, weeks 6 to 8',
  broiler_breeder_hen: 'broiler breeder hens',
  dual_purpose_any: 'improved dual-purpose chickens, any age',
  dual_purpose_chick_0_8wk: 'improved dual-purpose chicks, weeks 0 to 8',
  dual_purpose_grower_8_20wk: 'improved dual-purpose growers, weeks 8 to 20',
  dual_purpose_layer: 'improved dual-purpose layers',
  duck_starter_0_2wk: 'ducklings, weeks 0 to 2',
  duck_grower_2_7wk: 'ducks, weeks 2 to 7',
  duck_breeder: 'breeding ducks',
  quail_grower: 'quail growers',
  quail_layer: 'laying quails',
  turkey_starter_0_4wk: 'turkey poults, weeks 0 to 4',
  turkey_grower_4_8wk: 'turkeys, weeks 4 to 8',
  turkey_grower_8_12wk: 'turkeys, weeks 8 to 12',
  turkey_finisher_12_16wk: 'turkeys, weeks 12 to 16',
  turkey_finisher_16_20wk: 'turkeys, weeks 16 to 20',
  turkey_finisher_20_24wk: 'turkeys, weeks 20 to 24',
  turkey_holding: 'turkeys held for breeding',
  turkey_breeder_hen: 'turkey breeder hens',
}
const sw: { readonly [stage in keyof typeof en]: string } = {
  layer_chick_0_6wk: 'vifaranga wa mayai, wiki 0 hadi 6',
  layer_grower_6_12wk: 'kuku wa mayai wanaokua, wiki 6 hadi 12',
  layer_developer_12_18wk: 'kuku wa mayai wanaokua, wiki 12 hadi 18',
  pre_lay: 'kuku walio karibu kutaga',
  layer_peak: 'kuku wa mayai, kilele cha kutaga',
  layer_late: 'kuku wa mayai, mwisho wa kutaga',
  broiler_pre_starter_0_1wk: 'kuku wa nyama, wiki ya 1',
  broiler_starter_0_3wk: 'kuku wa nyama wa kuanzia, wiki 0 hadi 3',
  broiler_grower_3_6wk: 'kuku wa nyama wanaokua, wiki 3 hadi 6',
  broiler_finisher_6_8wk: 'kuku wa nyama wa kumalizia, wiki 6 hadi 8',
  broiler_breeder_hen: 'kuku wazazi wa nyama',
  dual_purpose_any: 'kuku chotara, umri wowote',
  dual_purpose_chick_0_8wk: 'vifaranga chotara, wiki 0 hadi 8',
  dual_purpose_grower_8_20wk: 'kuku chotara wanaokua, wiki 8 hadi 20',
  dual_purpose_layer: 'kuku chotara wanaotaga',
  duck_starter_0_2wk: 'vifaranga wa bata, wiki 0 hadi 2',
  duck_grower_2_7wk: 'bata, wiki 2 hadi 7',
  duck_breeder: 'bata wazazi',
  quail_grower: 'kware wanaokua',
  quail_layer: 'kware wanaotaga',
  turkey_starter_0_4wk: 'vifaranga wa bata mzinga, wiki 0 hadi 4',
  turkey_grower_4_8wk: 'bata mzinga, wiki 4 hadi 8',
  turkey_grower_8_12wk: 'bata mzinga, wiki 8 hadi 12',
  turkey_finisher_12_16wk: 'bata mzinga, wiki 12 hadi 16',
  turkey_finisher_16_20wk: 'bata mzinga, wiki 16 hadi 20',
  turkey_finisher_20_24wk: 'bata mzinga, wiki 20 hadi 24',
  turkey_holding: 'bata mzinga wanaotunzwa kwa uzazi',
  turkey_breeder_hen: 'bata mzinga wazazi',
}

const WORDS: Readonly<Record<'en' | 'sw', Readonly<Record<string, string>>>> = { en, sw }

/** A stage in words; one that has none yet shows its key, so that it is not mistaken for another. */
export const stageInWords = (stage: string, language: 'en' | 'sw'): string => WORDS[language][stage] ?? stage

/** Which bird stands on the sheet: chicks, laying birds with their egg, or the rest. */
export const birdPictogram = (stage: string): string => {
  if (/chick|starter/.test(stage)) return 'chick'
  return /layer_peak|layer_late|_layer$|pre_lay|breeder/.test(stage) ? 'hen-with-egg' : 'grown-bird'
}
