import { MillError, type ProblemCode } from '#core/errors'

/** Why a guarded update of a version changed nothing: it is in another state, or somebody was quicker. */
export const guardFailed = (before: { status: string; revision: number }, revision: number, wrongState: ProblemCode): MillError =>
  before.revision === revision ? new MillError(wrongState, { status: before.status }) : new MillError('stale-revision')
