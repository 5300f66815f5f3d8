import { ById } from '#contract/lists'
import { SupplierOfferView, WithdrawSupplierOfferBody } from '#contract/purchasing'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { wholeOffer } from './offer-view.js'

/** The offer is not bought from any more; it stays to be read, with who withdrew it and why. Of two who withdraw at once only one does. */
export const withdrawOffer = command({
  roles: ['manager', 'store-keeper'],
  params: ById,
  input: WithdrawSupplierOfferBody,
  ifMatch: true,
  output: SupplierOfferView,
  async run({ tx, actor, now, record }, { id, revision, reason }) {
    const { count } = await tx.supplierOffer.updateMany({
      where: { id, revision, withdrawnAt: null },
      data: { withdrawnAt: now, withdrawnBy: actor.userId, withdrawnReason: reason.trim(), revision: { increment: 1 } },
    })
    const offer = await wholeOffer(tx, id, now)
    if (count === 0)
      throw new MillError(offer.state === 'withdrawn' ? 'wrong-state' : 'stale-revision', {
        number: offer.number,
        state: offer.state,
        revision: offer.revision,
      })
    record('offer.withdrawn', 'supplier-offer', id, { number: offer.number, reason: reason.trim() })
    return offer
  },
})
