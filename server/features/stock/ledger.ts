/** The stock ledger: the only writer of balances. Every movement sums to zero, and the balance beside it moves in the same transaction. */
export {
  ACCOUNTS,
  postTransfer,
  type Account,
  type Entry,
  type Line,
  type Movement,
  type Transfer,
  type TransferKind,
} from './post-transfer.js'
export { receiveIntoStock, releaseReservation, reserveLots } from './lot-balances.js'
export { issueToBatch, type IssueLine } from './issue-to-batch.js'
export { returnFree, writeOffFree } from './change-free.js'
export { compareCount, putCount } from './put-count.js'
export { lockLot } from './lock-lot.js'
export { reverseTransfer } from './reverse-transfer.js'
export { deliverBags, makeBags, writeOffBags } from './bags.js'
export { putMaking, undoMakingMovement, type MadeLine } from './derive-movement.js'
export { proveStock } from './prove-stock.js'
