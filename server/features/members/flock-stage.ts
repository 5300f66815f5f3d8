import { FLOCK_TYPES } from '#contract/members'
import { stageForFlock, type Stage } from '#core/requirement/stages'
import { plainDate } from '#platform/mill-day'

type Flock = { readonly flockType: string; readonly hatchedOn: Date; readonly laying: boolean }

/** The stage of a flock on a day of the mill, by age and lay; null before hatching and where no table has a stage. */
export const stageOfFlock = ({ flockType, hatchedOn, laying }: Flock, on: string): Stage | null => {
  const type = FLOCK_TYPES.find((known) => known === flockType)
  return type === undefined ? null : (stageForFlock({ flockType: type, hatchedOn: plainDate(hatchedOn), on, laying }) ?? null)
}
