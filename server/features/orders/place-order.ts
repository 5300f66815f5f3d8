import { randomInt } from 'node:crypto'
import { OrderView, PlaceOrderBody } from '#contract/orders'
import { fieldError } from '#core/errors'
import { formatKg, grams, readKg, type Grams } from '#core/quantity/mass'
import { costOf, formatMoney, parsePricePerKg } from '#core/quantity/money'
import { refuseBlocks } from '#features/formulas/blocks'
import { ownRows } from '#features/members/own-rows'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { dateOf, daysBetween, loadToday } from '#platform/mill-day'
import { bagKgOfMill } from './bag-size.js'
import { checkOrderOf } from './check-order.js'
import { orderView, withNames } from './order-view.js'

/** Mash keeps about two months in a warm store, so nothing is ordered further ahead. Common practice, no source. */
const MOST_DAYS_AHEAD = 60
const LEAST = grams(1_000)
const MOST = grams(50_000_000)

const orderedMass = (kg: string): Grams => {
  const mass = readKg(kg)
  if (mass === null || mass < LEAST || mass > MOST) {
    const facts = { leastKg: formatKg(LEAST), mostKg: formatKg(MOST) }
    throw fieldError('bad-input', 'kg', 'out-of-range', 'from 1 kg to 50,000 kg', facts)
  }
  return mass
}

const checkDueDate = (dueOn: string, today: string): void => {
  const ahead = daysBetween(today, dueOn)
  if (ahead < 0) throw fieldError('bad-input', 'dueOn', 'in-the-past', `not before today, ${today}`, { today })
  if (ahead > MOST_DAYS_AHEAD)
    throw fieldError('bad-input', 'dueOn', 'too-far-ahead', `at most ${MOST_DAYS_AHEAD} days ahead`, { mostDays: MOST_DAYS_AHEAD })
}

// The share lock keeps the version as it is until COMMIT: nobody withdraws it while it is being ordered.
const orderableVersion = async (tx: Tx, id: string) => {
  await tx.$queryRaw`SELECT id FROM formula_version WHERE id = ${id}::uuid FOR SHARE`
  const version = await tx.formulaVersion.findUnique({ where: { id }, include: { formula: true } })
  if (version?.status === 'approved' && version.pricePerKg !== null) return { ...version, pricePerKg: version.pricePerKg.toFixed(4) }
  throw fieldError('formula-not-approved', 'formulaVersionId', 'not-approved', 'this feed is not on offer', {
    status: version?.status ?? null,
  })
}

/** Four digits that whoever collects must say. */
const newCollectionCode = (): string => String(randomInt(10_000)).padStart(4, '0')

export const placeOrder = command({
  roles: ['member', 'counter-clerk', 'manager'],
  input: PlaceOrderBody,
  output: OrderView,
  status: 201,
  async run({ tx, actor, now, newId, record }, { flockId, formulaVersionId, kg, dueOn }) {
    const flock = await tx.flock.findFirst({ where: { id: flockId, closedAt: null, ...ownRows(actor) } })
    if (flock === null) throw fieldError('flock-unknown', 'flockId', 'unknown', 'there is no such flock')
    const mass = orderedMass(kg)
    const today = await loadToday(tx, now)
    checkDueDate(dueOn, today)
    const version = await orderableVersion(tx, formulaVersionId)
    const findings = await checkOrderOf(tx, { flock, version, on: dueOn }, now)
    refuseBlocks(findings)
    const row = await tx.order.create({
      data: {
        id: newId(),
        memberId: flock.memberId,
        flockId,
        formulaVersionId,
        kg: formatKg(mass),
        dueOn: dateOf(dueOn),
        pricePerKg: version.pricePerKg,
        priceTotal: formatMoney(costOf(mass, parsePricePerKg(version.pricePerKg))),
        collectionCode: newCollectionCode(),
        findings: findings.map((finding) => ({ ...finding })),
        placedBy: actor.userId,
        placedAt: now,
      },
      include: withNames,
    })
    record('order.placed', 'order', row.id, {
      number: row.number,
      memberId: flock.memberId,
      flockId,
      formulaVersionId,
      kg: formatKg(mass),
      dueOn,
    })
    // Whoever orders for a member writes the code on the slip; afterwards only the member is shown it.
    return orderView(row, { bagKg: await bagKgOfMill(tx), showCode: true })
  },
})
