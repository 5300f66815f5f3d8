import type { z } from 'zod'
import type { StageView } from '#contract/requirements'

const FLOCK_TYPES: readonly (readonly [prefix: string, flockType: string])[] = [
  ['broiler_breeder', 'broiler-breeder'],
  ['broiler', 'broiler'],
  ['dual_purpose', 'dual-purpose'],
  ['layer', 'layer'],
  ['pre_lay', 'layer'],
  ['turkey', 'turkey'],
  ['duck', 'duck'],
  ['quail', 'quail'],
]

const birdClassOf = (stage: string): string => {
  if (/breeder|layer_(peak|late)|_layer$/.test(stage)) return 'layer'
  if (stage.startsWith('broiler')) return 'broiler'
  return /chick|starter/.test(stage) ? 'chick' : 'grower'
}

/** What the name of a stage of the tables says: whose feed it is and between which weeks of age, where it names weeks. */
export const stageView = (stage: string, sources: readonly string[]): z.output<typeof StageView> => {
  const weeks = /_(\d+)_(\d+)wk$/.exec(stage)
  return {
    id: stage,
    flockType: FLOCK_TYPES.find(([prefix]) => stage.startsWith(prefix))?.[1] ?? 'layer',
    fromWeek: weeks === null ? null : Number(weeks[1]),
    toWeek: weeks === null ? null : Number(weeks[2]),
    birdClass: birdClassOf(stage),
    sources: [...sources],
  }
}
