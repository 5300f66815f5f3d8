import { createHash } from 'node:crypto'
import { LotView } from '#contract/lots'
import { LAYER_LIMITS, makeVersion } from '../../support/builders/formulas.js'
import { makeLot, type LotFacts } from '../../support/builders/lots.js'
import { makeFlock, makeMember } from '../../support/builders/members.js'
import { prepareMill } from '../../support/builders/mill.js'
import { dayFromNow } from '../../support/builders/days.js'
import { makeLayerLots, makeMixer, makeOrder } from '../../support/builders/orders.js'
import { asPlanned, makePlannedOrder, mixAll } from '../../support/builders/production.js'
import { makeOffer } from '../../support/builders/offers.js'
import { makeSheets } from '../../support/builders/sheets.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { SMALL_JPEG } from '../../support/small-jpeg.js'
import type { Mill, SignedIn } from '../../support/mill.js'
import { PASSWORD } from '../../support/users.js'
import { newId } from '#platform/new-id'

export type Example = {
  readonly id?: string
  readonly query?: { readonly [name: string]: string }
  readonly body?: { readonly [name: string]: unknown }
  readonly revision?: number
}
/** Makes what the request needs, with everything a member owns belonging to this one. */
type MakeExample = (memberId: string) => Promise<Example>
export type Examples = { readonly [route: string]: MakeExample }

const nothing = async (): Promise<Example> => ({})
let made = 0
const next = (): number => (made += 1)
const GOOD = { moisture: 12, CP: 8.2, aflatoxin_total: 4 }
const REASON = { reason: 'tried by a test' }
const NEW_FLOCK = { name: 'Pullets', flockType: 'layer', hatchedOn: '2026-06-01', birds: 120 }

/** One request a route that does what the route is for, with everything in the state that it wants. */
export const makeExamples = async (mill: Mill): Promise<Examples> => {
  const { db } = mill
  await prepareMill(db)
  const mixer = await makeMixer(db)
  await makeLayerLots(db, { maize_white: '100000.000', soybean_meal_44: '100000.000', limestone: '20000.000', salt: '2000.000' })
  const supplier = await makeSupplier(db)
  const approved = await makeVersion(db)

  const lot = async (facts: LotFacts = {}): Promise<Example> => ({
    id: (await makeLot(db, { assays: GOOD, netKg: '10.000', ...facts })).id,
    revision: 1,
  })
  const heldLot = (): Promise<Example> => lot({ status: 'on-hold' })
  /** An ingredient for which this mill asks no sand or salt test yet: only one addition of a kind can stand. */
  const untestedIngredient = async (): Promise<string> => {
    const { id } = await db.ingredient.findFirstOrThrow({ where: { requiredTests: { none: {} } }, orderBy: { id: 'asc' } })
    return id
  }
  const assayFile = async (): Promise<string> => {
    const { number } = await makeLot(db, { status: 'on-hold', netKg: '10.000' })
    return `lot,analyte,value,unit,method,laboratory,date\n${number},moisture,12.4,%,oven 103 C,Mill laboratory,${dayFromNow(0)}`
  }
  let submitter: SignedIn | undefined
  const version = async (status: 'draft' | 'approved'): Promise<Example> => {
    const { id, revision } = await makeVersion(db, { status })
    return { id, revision }
  }
  const submitted = async (): Promise<Example> => {
    const { id = '', revision = 1 } = await version('draft')
    submitter ??= await mill.newUser({ role: 'nutritionist' })
    const reply = await submitter.post(`/formula-versions/${id}/submit`, {}, { revision })
    if (reply.status !== 200) throw new Error(reply.text)
    return { id, revision: revision + 1 }
  }
  const flock = async (memberId: string): Promise<Example> => ({ id: (await makeFlock(db, { memberId })).id, revision: 1 })
  const order = async (memberId: string): Promise<Example> => {
    const { id, revision } = await makeOrder(db, { flockId: (await makeFlock(db, { memberId })).id, formulaVersionId: approved.id })
    return { id, revision }
  }
  const planned = (memberId: string) => makePlannedOrder(db, { flock: { memberId } })
  const batch = async (memberId: string): Promise<Example> => ({ id: (await planned(memberId)).batchIds[0] ?? '', revision: 1 })
  const startedBatch = async (memberId: string) => {
    const about = await planned(memberId)
    const id = about.batchIds[0] ?? ''
    const reply = await (await mill.as('mixer-operator')).post(`/batches/${id}/start`, {}, { revision: 1 })
    if (reply.status !== 200) throw new Error(reply.text)
    return { id, revision: 2, weights: asPlanned(about) }
  }
  const readyOrder = async (memberId: string): Promise<Example> => {
    const about = await planned(memberId)
    await mixAll(await mill.as('mixer-operator'), about)
    const { revision } = await db.order.findUniqueOrThrow({ where: { id: about.orderId } })
    return { id: about.orderId, revision }
  }
  const plannedByMill = async (memberId: string): Promise<Example> => {
    const { id = '', revision = 1 } = await order(memberId)
    const reply = await (await mill.as('manager')).post(`/orders/${id}/plan`, { mixerId: mixer.id }, { revision })
    if (reply.status !== 200) throw new Error(reply.text)
    return { id, revision: revision + 1 }
  }
  const halfMadeOrder = async (memberId: string): Promise<Example> => {
    const about = await makePlannedOrder(db, { flock: { memberId }, loads: 2 })
    await mixAll(await mill.as('mixer-operator'), { ...about, batchIds: about.batchIds.slice(0, 1) })
    const { revision } = await db.order.findUniqueOrThrow({ where: { id: about.orderId } })
    return { id: about.orderId, revision }
  }
  const madeBatch = async (memberId: string): Promise<Example> => {
    const { id: orderId = '' } = await readyOrder(memberId)
    const { id, revision } = await db.batch.findFirstOrThrow({ where: { orderId } })
    return { id, revision }
  }
  const discrepancy = async (): Promise<Example> => {
    const id = newId()
    const openedBy = (await mill.as('mixer-operator')).user.id
    await db.discrepancy.create({ data: { id, kind: 'load-outside-limits', facts: {}, openedBy, openedAt: new Date() } })
    return { id, revision: 1 }
  }
  const movement = async (): Promise<Example> => {
    const { id: lotId } = await makeLot(db, { netKg: '10.000' })
    return { id: (await db.stockTransfer.findFirstOrThrow({ where: { entries: { some: { lotId } } } })).id }
  }
  const proposal = async (): Promise<Example> => {
    const [id, now] = [newId(), new Date()]
    const { id: lotId } = await makeLot(db, { netKg: '100.000' })
    const proposedBy = (await mill.as('store-keeper')).user.id
    const facts = { kind: 'write-off', kg: '20', differenceKg: '-20', happenedAt: now, reason: 'tried by a test' }
    await db.stockProposal.create({ data: { id, lotId, ...facts, proposedAt: now, proposedBy } })
    return { id, revision: 1 }
  }
  const madeLot = async (): Promise<Example> => {
    const inputs = [{ lotId: (await lot()).id, kg: '2' }]
    const reply = await (await mill.as('manager')).post('/lots/made', { kind: 'grinding', inputs, gotKg: '2' })
    return { id: reply.as(LotView).id }
  }
  const sealed = async (): Promise<string> => (await makeLot(db, { ingredientId: 'salt', netKg: '1.000' })).id

  return {
    'POST /session': async () => ({ body: { login: (await mill.as('laboratory')).user.login, password: PASSWORD } }),
    'GET /session': nothing,
    'DELETE /session': nothing,
    'PATCH /session': async () => ({ body: { language: 'sw' } }),
    'GET /mill': nothing,
    'GET /stages': nothing,
    'GET /home': nothing,

    'GET /ingredients': async () => ({ query: { perPage: '5' } }),
    'GET /ingredients/{id}': async () => ({ id: 'maize_white' }),
    'GET /sources': nothing,
    'GET /requirements': async () => ({ query: { stage: 'layer_peak' } }),
    'GET /safety-rules': nothing,
    'GET /coccidiostats': nothing,

    'GET /suppliers': nothing,
    'GET /suppliers/{id}': async () => ({ id: supplier.id }),
    'GET /suppliers/{id}/record': async () => ({ id: supplier.id, query: { ingredientId: 'maize_white' } }),
    'GET /supplier-ingredients': async () => ({ query: { supplierId: supplier.id } }),
    'POST /suppliers': async () => ({ body: { name: `New supplier ${next()}` } }),

    'GET /blank-sheets': nothing,
    'GET /blank-sheets/{id}': async () => ({ id: (await makeSheets(db))[0]?.id ?? '' }),
    'POST /blank-sheets': async () => ({ body: { kind: 'receiving', count: 1 + (next() % 9) } }),
    'POST /blank-sheets/{id}/spoil': async () => ({ id: (await makeSheets(db))[0]?.id ?? '', body: REASON }),
    'GET /sheet-bundles/{id}': async () => ({ id: (await makeSheets(db))[0]?.bundleId ?? '' }),
    'GET /sheet-bundles/{id}/sheets.pdf': async () => ({ id: (await makeSheets(db))[0]?.bundleId ?? '' }),
    'GET /supplier-offers': nothing,
    'GET /supplier-offers/{id}': async () => ({ id: (await makeOffer(db)).id }),
    'POST /supplier-offers': async () => ({
      body: {
        supplierId: supplier.id,
        ingredientId: 'maize_white',
        pricePerKg: '40',
        packKg: '90',
        deliveryDays: 2,
        validUntil: dayFromNow(7),
        note: newId(),
      },
    }),
    'POST /supplier-offers/{id}/withdraw': async () => ({ id: (await makeOffer(db)).id, revision: 1, body: { reason: 'tried by a test' } }),
    'POST /gate-price': async () => ({ body: { ingredientId: 'maize_white', kg: '100', pricePerKg: '40' } }),

    'GET /stock-movements': async () => ({ query: { perPage: '5' } }),
    'GET /stock-proof': nothing,
    'GET /stock-as-of': async () => ({ query: { at: new Date().toISOString(), perPage: '5' } }),
    'POST /stock-movements/{id}/reverse': async () => ({ ...(await movement()), body: REASON }),
    'GET /stock-proposals': nothing,
    'POST /stock-proposals/{id}/confirm': async () => ({ ...(await proposal()), body: {} }),
    'POST /stock-proposals/{id}/refuse': async () => ({ ...(await proposal()), body: REASON }),
    'POST /lots/{id}/count': async () => ({ id: (await lot()).id ?? '', body: { countedKg: '9.5', ...REASON } }),
    'POST /lots/{id}/write-off': async () => ({ id: (await lot()).id ?? '', body: { kg: '0.5', ...REASON } }),
    'POST /lots/{id}/return': async () => ({ id: (await lot()).id ?? '', body: { kg: '2', ...REASON } }),

    'GET /lots': async () => ({ query: { status: 'released', perPage: '5' } }),
    'GET /lots/{id}': async () => lot(),
    'POST /lots': async () => ({
      body: {
        ingredientId: 'maize_white',
        supplierId: supplier.id,
        receivedAt: new Date().toISOString(),
        netKg: '1.500',
        pricePerKg: '40.50',
      },
    }),
    'POST /lots/{id}/correct-receipt': async () => ({
      ...(await lot({ status: 'on-hold', assays: {} })),
      body: {
        ingredientId: 'maize_white',
        supplierId: supplier.id,
        receivedAt: new Date().toISOString(),
        netKg: '9.500',
        pricePerKg: '40.50',
        ...REASON,
      },
    }),
    'POST /lots/made': async () => ({
      body: { kind: 'grinding', inputs: [{ lotId: (await lot()).id ?? '', kg: '2' }], gotKg: '2' },
    }),
    'POST /lots/{id}/undo-making': async () => ({ ...(await madeLot()), body: REASON }),
    'POST /lots/{id}/photos': async () => ({
      id: (await lot()).id ?? '',
      body: { parts: [SMALL_JPEG.toString('base64')], takenAt: new Date().toISOString() },
    }),
    'GET /lot-photos/{id}': async () => {
      const { id: lotId } = await makeLot(db, { netKg: '10.000' })
      const addedBy = (await mill.as('store-keeper')).user.id
      const jpeg = Uint8Array.from(SMALL_JPEG)
      const now = new Date()
      const photo = await db.lotPhoto.create({
        data: { id: newId(), lotId, takenAt: now, addedAt: now, addedBy, size: jpeg.length, jpeg },
      })
      return { id: photo.id }
    },
    'GET /lots/{id}/papers': async () => ({ id: (await lot()).id ?? '', query: { language: 'sw' } }),
    'GET /lots/{id}/stack-card.pdf': async () => ({ id: (await lot()).id ?? '' }),
    'GET /lots/{id}/sample-label.pdf': async () => ({ id: (await lot()).id ?? '' }),
    'POST /lots/{id}/release': async () => ({ ...(await heldLot()), body: {} }),
    'POST /lots/{id}/reject': async () => ({ ...(await heldLot()), body: REASON }),
    'POST /lots/{id}/hold': async () => ({ ...(await lot()), body: REASON }),
    'POST /lots/{id}/limit': async () => ({ ...(await lot()), body: { stages: ['layer_peak'], ...REASON } }),
    'GET /required-tests': nothing,
    'POST /required-tests': async () => ({ body: { ingredientId: await untestedIngredient(), hazard: 'sand', ...REASON } }),
    'POST /required-tests/{id}/remove': async () => {
      const addedBy = (await db.appUser.findFirstOrThrow({ where: { role: 'manager' }, select: { id: true } })).id
      const facts = { hazard: 'salt', reason: 'tried by a test', addedAt: new Date(), addedBy }
      const { id } = await db.requiredTest.create({ data: { id: newId(), ingredientId: await untestedIngredient(), ...facts } })
      return { id, body: REASON, revision: 1 }
    },
    'GET /assays': async () => ({ query: { lotId: await sealed() } }),
    'POST /lots/{id}/assays': async () => ({
      id: (await makeLot(db, { status: 'on-hold', netKg: '10.000' })).id,
      body: {
        laboratory: 'Mill laboratory',
        results: [{ analyte: 'moisture', value: 12.4, unit: '%', method: 'oven 103 C', measuredOn: dayFromNow(0) }],
      },
    }),
    'GET /samples-due': nothing,
    'POST /samples': async () => ({
      body: {
        laboratory: 'Mill laboratory',
        measuredOn: dayFromNow(0),
        analyte: 'moisture',
        unit: '%',
        method: 'oven 103 C',
        rows: [{ lotId: (await makeLot(db, { status: 'on-hold', netKg: '10.000' })).id, value: 12.4 }],
      },
    }),
    'GET /lots/{id}/batches': async () => lot(),
    'GET /late-results': nothing,
    'POST /assays/import/check': async () => ({ body: { parts: [await assayFile()] } }),
    'POST /assays/import': async () => {
      const text = await assayFile()
      return { body: { parts: [text], fingerprint: createHash('sha256').update(text, 'utf8').digest('hex') } }
    },

    'GET /formulas': nothing,
    'GET /formulas/{id}': async () => ({ id: approved.formulaId }),
    'GET /formula-versions/{id}': async () => ({ id: approved.id }),
    'POST /formulas': async () => ({
      body: { nameEn: `Layer mash ${next()}`, nameSw: 'Chakula', stage: 'layer_peak', requirementSource: 'REC' },
    }),
    'POST /formulas/{id}/versions': async () => ({ id: (await makeVersion(db)).formulaId, body: {} }),
    'PATCH /formula-versions/{id}': async () => ({
      ...(await version('draft')),
      body: { limits: LAYER_LIMITS, medication: null, note: 'less maize' },
    }),
    'POST /formula-versions/{id}/submit': async () => ({ ...(await version('draft')), body: {} }),
    'POST /formula-versions/{id}/approve': async () => ({ ...(await submitted()), body: { password: PASSWORD } }),
    'POST /formula-versions/{id}/withdraw': async () => ({ ...(await version('approved')), body: REASON }),
    'POST /solve': async () => ({ body: { stage: 'layer_peak', limits: LAYER_LIMITS } }),
    'POST /solve/explain': async () => ({ body: { stage: 'layer_peak', limits: LAYER_LIMITS } }),
    'POST /solve/curve': async () => ({
      body: { stage: 'layer_peak', limits: LAYER_LIMITS, of: { kind: 'limit', row: 'nutrient:CP:min' }, from: 15, to: 17 },
    }),
    'POST /solve/alternatives': async () => ({ body: { stage: 'layer_peak', limits: LAYER_LIMITS } }),
    'POST /solve/assay-worth': async () => ({ body: { stage: 'layer_peak', limits: LAYER_LIMITS } }),
    'POST /intake': async () => ({ body: { weightKg: 1.75, temperatureC: 22, eggMassG: 50, ameKcalPerKg: 2750 } }),

    'GET /members': nothing,
    'GET /members/{id}': async (memberId) => ({ id: memberId }),
    'POST /members': async () => ({ body: { name: 'New member', phone: `+2547555${String(10_000 + next())}` } }),
    'GET /flocks': async (memberId) => flock(memberId).then(() => ({})),
    'GET /flocks/{id}': flock,
    'POST /flocks': async (memberId) => ({ body: { ...NEW_FLOCK, memberId } }),
    'PATCH /flocks/{id}': async (memberId) => ({ ...(await flock(memberId)), body: { name: 'Hens', birds: 90, laying: true } }),

    'GET /offers': nothing,
    'GET /orders': async (memberId) => order(memberId).then(() => ({})),
    'GET /orders/{id}': order,
    'POST /orders': async (memberId) => ({
      body: { flockId: (await makeFlock(db, { memberId })).id, formulaVersionId: approved.id, kg: '100', dueOn: dayFromNow(3) },
    }),
    'POST /orders/{id}/cancel': async (memberId) => ({ ...(await order(memberId)), body: REASON }),
    'GET /orders/{id}/solution': order,
    'POST /orders/{id}/plan': async (memberId) => ({ ...(await order(memberId)), body: { mixerId: mixer.id } }),
    'POST /orders/{id}/replan': async (memberId) => ({ ...(await plannedByMill(memberId)), body: REASON }),
    'POST /orders/{id}/cancel-rest': async (memberId) => ({ ...(await halfMadeOrder(memberId)), body: REASON }),
    'POST /orders/{id}/collect': async (memberId) => ({ ...(await readyOrder(memberId)), body: { collectionCode: '1234' } }),

    'GET /batches': async () => ({ query: { perPage: '5' } }),
    'GET /batches/{id}': batch,
    'GET /batches/{id}/sheet': batch,
    'GET /batches/{id}/sheet.pdf': async (memberId) => ({ ...(await batch(memberId)), query: { language: 'en' } }),
    'POST /batches/{id}/start': async (memberId) => ({ ...(await batch(memberId)), body: { flushed: false } }),
    'POST /batches/{id}/weighings': async (memberId) => {
      const { id, weights } = await startedBatch(memberId)
      return { id, body: { ...weights[0] } }
    },
    'POST /batches/{id}/finish': async (memberId) => {
      const { id, revision, weights } = await startedBatch(memberId)
      return { id, revision, body: { weights, madeKg: '100' } }
    },
    'POST /batches/{id}/hold': async (memberId) => ({ ...(await batch(memberId)), body: REASON }),
    'POST /batches/{id}/release-hold': async (memberId) => {
      const held = await batch(memberId)
      await db.batch.update({ where: { id: held.id ?? '' }, data: { status: 'on-hold' } })
      return { ...held, body: REASON }
    },
    'POST /batches/{id}/write-off': async (memberId) => ({ ...(await madeBatch(memberId)), body: REASON }),

    'GET /trace': async () => ({ query: { from: 'lot', id: await sealed() } }),
    'GET /discrepancies': nothing,
    'POST /discrepancies/{id}/close': async () => ({ ...(await discrepancy()), body: REASON }),
  }
}

/** A member of the cooperative who is somebody else. */
export const anotherMember = async (mill: Mill): Promise<string> => (await makeMember(mill.db, { name: 'Another member' })).id
