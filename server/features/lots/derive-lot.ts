import { MakeLotBody } from '#contract/derived-lots'
import { LotView } from '#contract/lots'
import { fieldError } from '#core/errors'
import { formatKg, grams } from '#core/quantity/mass'
import { formatPricePerKg } from '#core/quantity/money'
import { differsTooMuch } from '#core/stock/derived-lot'
import { putMaking } from '#features/stock/ledger'
import { command, type CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { happenedAt } from '#platform/happened-at'
import { dateOf } from '#platform/mill-day'
import { loadParents, makingFacts, type MakingFacts, type Parent } from './derive-facts.js'
import { againstLots, loadCheckContext } from './lot-safety.js'
import { lotView, withNames } from './lot-view.js'
import { makeMillSupplier, MILL_AS_SUPPLIER } from './mill-supplier.js'

/** When it was done: not before the last of the lots was there. */
const madeAt = (told: string | null, parents: readonly Parent[], now: Date): Date => {
  const at = happenedAt('happenedAt', told, now)
  const late = told === null ? undefined : parents.find(({ row }) => row.receivedAt > at)
  if (late === undefined) return at
  const facts = { lotNumber: late.row.number, deliveredAt: late.row.receivedAt.toISOString() }
  throw fieldError(
    'bad-input',
    'happenedAt',
    'before-delivery',
    `not before lot ${late.row.number} was there (${facts.deliveredAt})`,
    facts,
  )
}

const reportDifference = async (
  { tx, actor, now, newId, record }: CommandContext,
  lot: { readonly id: string; readonly number: number },
  { kind }: MakeLotBody,
  { taken, got, expected }: MakingFacts,
): Promise<void> => {
  if (!differsTooMuch(got, expected)) return
  const facts = {
    lotNumber: lot.number,
    kind,
    takenKg: formatKg(taken),
    expectedKg: formatKg(expected),
    gotKg: formatKg(got),
    differenceKg: formatKg(grams(got - expected)),
  }
  const id = newId()
  const data = { id, kind: 'making-differs', lotId: lot.id, facts, openedAt: now, openedBy: actor.userId }
  const { number } = await tx.discrepancy.create({ data, select: { number: true } })
  record('discrepancy.opened', 'discrepancy', id, { number, discrepancy: 'making-differs', ...facts })
}

/** The making as its own row, and the parents with their kilograms. Both are history: added, never changed. */
const writeMaking = async (
  tx: Tx,
  ids: { readonly lotId: string; readonly transferId: string },
  input: MakeLotBody,
  facts: MakingFacts & { readonly parents: readonly Parent[] },
): Promise<void> => {
  await tx.lotMaking.create({
    data: {
      ...ids,
      takenKg: formatKg(facts.taken),
      gotKg: formatKg(facts.got),
      lossKg: formatKg(grams(facts.taken - facts.got)),
      lossKind: input.lossKind,
      expectedKg: formatKg(facts.expected),
      moistureBeforePct: input.moistureBeforePct,
      moistureAfterPct: input.moistureAfterPct,
      note: input.note,
    },
  })
  await tx.lotParent.createMany({
    data: facts.parents.map(({ row, grams: mass }) => ({ lotId: ids.lotId, parentId: row.id, kg: formatKg(mass) })),
  })
}

const lotRow = (input: MakeLotBody, parent: Parent['row'], { got, terms, pricePerKg, moistures }: MakingFacts) => ({
  ingredientId: parent.ingredientId,
  supplierId: MILL_AS_SUPPLIER,
  madeBy: input.kind,
  netKg: formatKg(got),
  pricePerKg: formatPricePerKg(pricePerKg),
  intakeMoisturePct: moistures?.afterPct ?? null,
  storagePlace: input.storagePlace,
  expiresOn: terms.expiresOn === null ? null : dateOf(terms.expiresOn),
  retestOn: terms.retestOn === null ? null : dateOf(terms.retestOn),
  releasedFor: [...terms.releasedFor],
  medicationDeclared: terms.medicationDeclared,
  medicationActive: parent.medicationActive,
  medicationStrengthPct: parent.medicationStrengthPct,
})

/**
 * Lots are ground, dried or heaped in a bin and become one lot, which knows its parents. It carries what they cost and the strictest of
 * their terms; it is released because all of them are, unless a rule stands against one. What weighs otherwise than it should is recorded
 * as it is and becomes a discrepancy.
 */
export const makeLot = command({
  roles: ['store-keeper', 'manager'],
  input: MakeLotBody,
  output: LotView,
  status: 201,
  async run(ctx, input) {
    const { tx, actor, now, newId, record } = ctx
    const parents = await loadParents(tx, input.inputs)
    const [first] = parents
    if (first === undefined) throw fieldError('bad-input', 'inputs', 'too-few', 'at least one lot')
    const facts = makingFacts(input, parents)
    const at = madeAt(input.happenedAt, parents, now)
    const { on: today } = await loadCheckContext(tx, now)
    const rows = parents.map(({ row }) => row)
    const reason = await againstLots(tx, rows, now)
    const id = newId()
    await makeMillSupplier(tx, now)
    const decided = reason === '' ? { status: 'released' } : { status: 'on-hold', statusReason: reason }
    const made = { ...lotRow(input, first.row, facts), ...decided, decidedBy: actor.userId, decidedAt: now }
    await tx.lot.create({ data: { ...made, id, receivedAt: at, enteredAt: now, receivedBy: actor.userId }, select: { id: true } })
    const transferId = newId()
    const lines = parents.map(({ row, grams: mass, path }) => ({ lotId: row.id, grams: mass, path }))
    const { kind, lossKind, note } = input
    const movement = { id: transferId, happenedAt: at, actorId: actor.userId, reason: note }
    await putMaking(tx, { ...movement, kind, lotId: id, lines, got: facts.got, lossKind, today })
    await writeMaking(tx, { lotId: id, transferId }, input, { ...facts, parents })
    const row = await tx.lot.findUniqueOrThrow({ where: { id }, include: withNames })
    await reportDifference(ctx, row, input, facts)
    const from = parents.map((parent) => `${parent.row.number}: ${formatKg(parent.grams)}`).join(', ')
    record('lot.made', 'lot', id, { number: row.number, kind, parents: from, gotKg: formatKg(facts.got), status: row.status, reason })
    return lotView(row)
  },
})
