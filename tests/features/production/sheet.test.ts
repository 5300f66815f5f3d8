import { expect, test } from 'vitest'
import { BatchSheetView } from '#contract/production'
import { prepareMill } from '../../support/builders/mill.js'
import { makePlannedOrder } from '../../support/builders/production.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const mixer = await mill.as('mixer-operator')
const sheet = async (id: string, query = {}) => (await mixer.get(`/batches/${id}/sheet`, query)).as(BatchSheetView)
const only = (ids: readonly string[]): string => ids[0] ?? ''

test("the sheet comes in the mill's language for sheets unless another is asked for", async () => {
  const { batchIds } = await makePlannedOrder(mill.db)
  const id = only(batchIds)
  const { number } = await mill.db.batch.findUniqueOrThrow({ where: { id } })
  expect(await sheet(id)).toMatchObject({ language: 'sw', title: 'KARATASI YA MKUPUO', batchNumber: number, qr: `KINU BATCH ${number}` })
  expect(await sheet(id, { language: 'en' })).toMatchObject({ language: 'en', title: 'BATCH SHEET', printedBy: mixer.user.name })
  expect((await mixer.get(`/batches/${id}/sheet`, { language: 'fr' })).status).toBe(400)
})

test('the PDF is a PDF named by the number of its load, in either language', async () => {
  const { batchIds } = await makePlannedOrder(mill.db)
  for (const language of ['en', 'sw']) {
    const reply = await mixer.get(`/batches/${only(batchIds)}/sheet.pdf`, { language })
    expect([reply.status, reply.headers['content-type']]).toEqual([200, 'application/pdf'])
    expect(reply.headers['content-disposition']).toMatch(/^inline; filename="batch-\d+\.pdf"$/)
    expect(reply.bytes.toString('latin1', 0, 5)).toBe('%PDF-')
  }
})

test('the sheet says what the mixer needs before the load', async () => {
  const medicated = await makePlannedOrder(mill.db, { medication: { active: 'salinomycin sodium', mgPerKg: 60 } })
  expect(await sheet(only(medicated.batchIds), { language: 'en' })).toMatchObject({ medicine: { medicated: true } })
  expect((await sheet(only(medicated.batchIds), { language: 'en' })).before[1]).toBe('first load on this mixer')
  await mixer.post(`/batches/${only(medicated.batchIds)}/start`, {}, { revision: 1 })
  const { number } = await mill.db.batch.findUniqueOrThrow({ where: { id: only(medicated.batchIds) } })
  const { mixerId } = medicated
  const next = await makePlannedOrder(mill.db, { mixerId })
  expect((await sheet(only(next.batchIds), { language: 'en' })).before[1]).toBe(`flush first: load ${number} had medicine`)
  const hens = await makePlannedOrder(mill.db, { mixerId, formula: { stage: 'layer_peak' }, flock: { ageWeeks: 30 } })
  expect((await sheet(only(hens.batchIds), { language: 'en' })).before[1]).toBe(`flush and one load without medicine after load ${number}`)
})

test('refuses members, strangers and loads that are none', async () => {
  const { batchIds } = await makePlannedOrder(mill.db)
  expect((await (await mill.as('member')).get(`/batches/${only(batchIds)}/sheet.pdf`)).status).toBe(403)
  expect((await mill.anonymous().get(`/batches/${only(batchIds)}/sheet`)).status).toBe(401)
  expect((await mixer.get('/batches/00000000-0000-4000-8000-000000000000/sheet.pdf')).status).toBe(404)
})
