import type { IntegrityCheck } from '#platform/jobs/housekeeping'
import { proveStock } from './prove-stock.js'

/** The balances beside the ledger say what the ledger says, and every movement sums to zero. */
export const stockAgrees: IntegrityCheck = async ({ db }) => {
  const proof = await proveStock(db)
  return [
    ...(proof.sumKg === '0.000' ? [] : [`the ledger sums to ${proof.sumKg} kg`]),
    ...(proof.unbalancedTransfers === 0 ? [] : [`${proof.unbalancedTransfers} movements do not sum to zero`]),
    ...proof.unbalancedMovements.map(({ id, kind, sumKg }) => `the movement ${id} (${kind}) sums to ${sumKg} kg`),
    ...proof.lotDifferences.map(({ lotNumber }) => `the balance of lot ${lotNumber} is not what its movements say`),
    ...proof.bagDifferences.map(({ batchNumber }) => `the bags of batch ${batchNumber} are not what their movements say`),
  ]
}
