import { readTyped } from '../format/typed'
import type { Flock } from './model'

export type BirdKind = Flock['flockType']

/** Every kind the mill knows, and whether it is kept for eggs. */
const EGGS: Readonly<Record<BirdKind, boolean>> = {
  layer: true,
  'dual-purpose': true,
  broiler: false,
  turkey: true,
  duck: true,
  quail: true,
  'broiler-breeder': true,
}

export const BIRD_KINDS = Object.keys(EGGS) as readonly BirdKind[]
export const laysEggs = (kind: BirdKind | undefined): boolean => kind !== undefined && EGGS[kind]
export const birdKindOf = (text: string): BirdKind | undefined => BIRD_KINDS.find((kind) => kind === text)

/** A whole number of birds from what was typed, or null. */
export const readBirds = (typed: string): number | null => {
  const reading = readTyped(typed)
  const birds = reading.kind === 'number' ? Number(reading.text) : Number.NaN
  return Number.isInteger(birds) && birds > 0 ? birds : null
}
