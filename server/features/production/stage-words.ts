import { STAGE_WORDS } from '#contract/stage-words'

const WORDS: Readonly<Record<'en' | 'sw', Readonly<Record<string, string>>>> = STAGE_WORDS

/** A stage in words; one that has none yet shows its key, so that it is not mistaken for another. */
export const stageInWords = (stage: string, language: 'en' | 'sw'): string => WORDS[language][stage] ?? stage

/** Which bird stands on the sheet: chicks, laying birds with their egg, or the rest. */
export const birdPictogram = (stage: string): string => {
  if (/chick|starter/.test(stage)) return 'chick'
  return /layer_peak|layer_late|_layer$|pre_lay|breeder/.test(stage) ? 'hen-with-egg' : 'grown-bird'
}
