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
export { deliverBags, makeBags, writeOffBags } from './bags.js'
export { proveStock } from './prove-stock.js'
