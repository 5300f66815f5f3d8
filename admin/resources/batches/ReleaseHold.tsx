import { HoldPage } from './HoldBatch'

/** The other way round: what was held may go on. */
const ReleaseHold = () => <HoldPage release />

export default ReleaseHold
