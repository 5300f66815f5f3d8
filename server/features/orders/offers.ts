import type { z } from 'zod'
import { OfferQuery, OfferView } from '#contract/orders'
import { parseKg } from '#core/quantity/mass'
import type { CheckContext } from '#core/safety/check-lot'
import { loadCheckContext } from '#features/lots/lot-safety'
import { ownRows } from '#features/members/own-rows'
import { stageOfFlock } from '#features/members/flock-stage'
import type { Db, Prisma } from '#platform/database/client'
import { containing, onlyIds, rowsOf } from '#platform/list-page'
import { daysBetween, loadToday, plainDate } from '#platform/mill-day'
import { query } from '#platform/query'
import { bagKgOfMill } from './bag-size.js'
import { checkFeeding } from './check-order.js'
import { loadIntakes, type Intake } from './intake.js'
import { nextDueDays, proposedKg } from './proposal.js'

type Offer = z.output<typeof OfferView>
type FlockRow = Prisma.FlockGetPayload<object>
type VersionRow = Prisma.FormulaVersionGetPayload<{ include: { formula: true } }>
type Shop = {
  readonly versions: readonly VersionRow[]
  readonly context: CheckContext
  readonly intakes: ReadonlyMap<string, Intake>
  readonly bagKg: string
  readonly today: string
}

const feedsOf = (flock: FlockRow, stage: string | null, { versions, context, today }: Shop): Offer['feeds'] => {
  const feeds = versions.map((version) => ({
    formulaVersionId: version.id,
    nameEn: version.formula.nameEn,
    nameSw: version.formula.nameSw,
    stage: version.formula.stage,
    pricePerKg: version.pricePerKg?.toFixed(4) ?? '0.0000',
    proposed: false,
    medicated: version.medication !== null,
    findings: checkFeeding({ flock, version, on: today }, context),
  }))
  const fits = feeds.filter((feed) => feed.stage === stage && feed.findings.every(({ severity }) => severity !== 'block'))
  // Feed without medicine is proposed before the same feed with it: medicine is somebody's choice, not a default.
  const proposed = fits.find(({ medicated }) => !medicated) ?? fits[0]
  return feeds.map((feed) => ({ ...feed, proposed: feed === proposed }))
}

const offerOf = (flock: FlockRow, shop: Shop): Offer => {
  const stage = stageOfFlock(flock, shop.today)?.id ?? null
  const intake = stage === null ? undefined : shop.intakes.get(stage)
  return {
    id: flock.id,
    flockName: flock.name,
    flockType: flock.flockType,
    birds: flock.birds,
    ageWeeks: Math.floor(daysBetween(plainDate(flock.hatchedOn), shop.today) / 7),
    stage,
    bagKg: shop.bagKg,
    feeds: feedsOf(flock, stage, shop),
    proposedKg: intake === undefined ? null : proposedKg(flock.birds, intake.gramsPerBirdDay, parseKg(shop.bagKg)),
    gramsPerBirdDay: intake?.gramsPerBirdDay ?? null,
    gramsKnownBy: intake?.knownBy ?? 'unknown',
    dueDays: nextDueDays(shop.today),
  }
}

const openShop = async (db: Db, now: Date): Promise<Shop> => {
  const versions = await db.formulaVersion.findMany({
    where: { status: 'approved' },
    include: { formula: true },
    orderBy: { formula: { number: 'asc' } },
  })
  const [context, intakes, bagKg, today] = await Promise.all([
    loadCheckContext(db, now),
    loadIntakes(db),
    bagKgOfMill(db),
    loadToday(db, now),
  ])
  return { versions, context, intakes, bagKg, today }
}

/** For each flock: every approved feed with what the safety checks say of it for these birds, and the one for their age. */
export const listOffers = query({
  roles: ['member', 'counter-clerk', 'manager'],
  input: OfferQuery,
  output: OfferView,
  list: true,
  async run({ db, actor, now }, { page, perPage, order, q, id, memberId }) {
    const where: Prisma.FlockWhereInput = {
      AND: [
        { closedAt: null },
        ownRows(actor),
        onlyIds(id),
        memberId === undefined ? {} : { memberId },
        q === undefined ? {} : { OR: [{ name: containing(q) }, { member: { name: containing(q) } }] },
      ],
    }
    const [flocks, total, shop] = await Promise.all([
      db.flock.findMany({ where, orderBy: [{ name: order }, { id: 'asc' }], ...rowsOf({ page, perPage }) }),
      db.flock.count({ where }),
      openShop(db, now),
    ])
    return { items: flocks.map((flock) => offerOf(flock, shop)), total }
  },
})
