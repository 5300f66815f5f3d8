import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { HomeView } from '#contract/home'
import { BlankPaperView, BlankSheetView, IssuedSheetsView } from '#contract/sheets'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSheets } from '../../support/builders/sheets.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const manager = await mill.as('manager')
const store = await mill.as('store-keeper')
const has = (program: string): boolean => spawnSync(program, ['-v']).error === undefined
const DAY_MS = 86_400_000

const issue = async (who: typeof manager, kind: string, count: number) => {
  const reply = await who.post('/blank-sheets', { kind, count })
  expect(reply.status, reply.text).toBe(201)
  return reply.as(IssuedSheetsView)
}
const numberOf = (code: string): number => Number(code.slice(2))

test('sheets get one row of numbers over all kinds, each with the letter of its own', async () => {
  const first = await issue(manager, 'receiving', 3)
  const second = await issue(store, 'weighing', 2)
  expect(first.codes.map((code) => code[0])).toEqual(['R', 'R', 'R'])
  expect(second.codes.map((code) => code[0])).toEqual(['W', 'W'])
  const numbers = [...first.codes, ...second.codes].map(numberOf)
  expect(numbers).toEqual(numbers.map((_, i) => (numbers[0] ?? 0) + i))
})

test('clients who ask at once get different numbers, each bundle without a gap', async () => {
  const bundles = await Promise.all(Array.from({ length: 8 }, (_, i) => issue(i % 2 === 0 ? manager : store, 'collection', 5)))
  const all = bundles.flatMap(({ codes }) => codes)
  expect(new Set(all).size).toBe(40)
  for (const { codes } of bundles) {
    const numbers = codes.map(numberOf)
    expect(numbers).toEqual(numbers.map((_, i) => (numbers[0] ?? 0) + i))
  }
})

test('the same request again takes no second row of numbers', async () => {
  const body = { kind: 'receiving', count: 2 }
  const replies = [
    await manager.post('/blank-sheets', body, { key: 'sheets-once' }),
    await manager.post('/blank-sheets', body, { key: 'sheets-once' }),
  ]
  expect(replies[1]?.text).toBe(replies[0]?.text)
})

test('refuses no sheet, too many, a kind that is none, and roles that have no sheets to write on', async () => {
  for (const body of [
    { kind: 'receiving', count: 0 },
    { kind: 'receiving', count: 51 },
    { kind: 'receiving', count: 1.5 },
    { kind: 'count', count: 1 },
  ]) {
    expect((await manager.post('/blank-sheets', body)).problem().code).toBe('bad-input')
  }
  for (const role of ['member', 'nutritionist', 'laboratory'] as const) {
    expect((await (await mill.as(role)).post('/blank-sheets', { kind: 'receiving', count: 1 })).status).toBe(403)
  }
  expect((await (await mill.as('member')).get('/blank-sheets')).status).toBe(403)
})

test('a spoiled sheet stands in the list with its reason and cannot be spoiled again', async () => {
  const [sheet] = await makeSheets(mill.db)
  const spoiled = await store.post(`/blank-sheets/${sheet?.id}/spoil`, { reason: 'rained on' })
  expect(spoiled.as(BlankSheetView)).toMatchObject({
    code: sheet?.code,
    state: 'spoiled',
    spoiledBy: store.user.name,
    spoiledReason: 'rained on',
  })
  const again = (await manager.post(`/blank-sheets/${sheet?.id}/spoil`, { reason: 'torn' })).problem()
  expect([again.code, again.errors?.[0]?.code, again.errors?.[0]?.facts?.['reason']]).toEqual(['wrong-state', 'sheet-spoiled', 'rained on'])
  const list = await manager.get('/blank-sheets', { state: 'spoiled', q: sheet?.code ?? '' })
  expect(list.as(z.array(BlankSheetView)).map(({ code }) => code)).toEqual([sheet?.code])
  expect((await manager.post(`/blank-sheets/${sheet?.id}/spoil`, { reason: ' ' })).problem().code).toBe('bad-input')
})

test('two who spoil one sheet at once: one does', async () => {
  const [sheet] = await makeSheets(mill.db)
  const replies = await Promise.all([manager, store].map((who) => who.post(`/blank-sheets/${sheet?.id}/spoil`, { reason: 'lost' })))
  expect(replies.map(({ status }) => status).toSorted()).toEqual([200, 409])
})

test('the service may not change what was printed, nor remove a sheet', async () => {
  const [sheet] = await makeSheets(mill.db)
  const where = { id: sheet?.id ?? '' }
  await expect(mill.db.blankSheet.update({ where, data: { kind: 'weighing' } })).rejects.toThrow(/permission denied/)
  await expect(mill.db.blankSheet.update({ where, data: { printedAt: new Date(0) } })).rejects.toThrow(/permission denied/)
  await expect(mill.db.blankSheet.delete({ where })).rejects.toThrow(/permission denied/)
})

test('paper comes in the language of the mill unless another is asked for, and never with a number that is used up', async () => {
  const { bundleId, codes } = await issue(manager, 'collection', 3)
  const paper = async (query = {}) => (await manager.get(`/sheet-bundles/${bundleId}`, query)).as(BlankPaperView)
  expect(await paper()).toMatchObject({ language: 'sw', title: 'KUKABIDHI MIFUKO' })
  const english = await paper({ language: 'en' })
  expect(english).toMatchObject({ language: 'en', title: 'BAGS HANDED OVER' })
  expect(english.sheets).toEqual(codes.map((code) => ({ code, qr: `KINU SHEET ${code}` })))
  const { id } = await mill.db.blankSheet.findUniqueOrThrow({ where: { number: numberOf(codes[1] ?? '') } })
  await manager.post(`/blank-sheets/${id}/spoil`, { reason: 'torn' })
  expect((await paper()).sheets.map(({ code }) => code)).toEqual([codes[0], codes[2]])
  expect((await manager.get('/sheet-bundles/00000000-0000-4000-8000-000000000000')).status).toBe(404)
})

test.skipIf(!has('pdftotext'))(
  'the PDF has one page a sheet, with its number, every box and the cautions, in either language',
  async () => {
    for (const kind of ['receiving', 'weighing', 'collection']) {
      const { bundleId, codes } = await issue(manager, kind, 2)
      for (const language of ['en', 'sw']) {
        const paper = (await manager.get(`/sheet-bundles/${bundleId}`, { language })).as(BlankPaperView)
        const reply = await manager.get(`/sheet-bundles/${bundleId}/sheets.pdf`, { language })
        expect(reply.headers['content-type']).toBe('application/pdf')
        const file = join(mkdtempSync(join(tmpdir(), 'kinu-sheets-')), 'sheets.pdf')
        writeFileSync(file, reply.bytes)
        const pages = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' })
          .split('\f')
          .filter((page) => page.trim() !== '')
        expect(pages).toHaveLength(2)
        pages.forEach((page, i) => {
          const text = page.replace(/\s+/g, ' ')
          const boxes = [...paper.boxes, ...paper.after].flatMap(({ label, unit, hint }) => [label, unit, hint])
          const tables = paper.tables.flatMap(({ title, columns }) => [title, ...columns.flatMap(({ label, unit }) => [label, unit])])
          for (const expected of [
            codes[i] ?? '',
            paper.title,
            paper.when,
            paper.use,
            ...boxes,
            ...tables,
            ...paper.cautions,
            ...paper.signatures,
            paper.entered,
          ])
            expect(text).toContain(expected)
        })
      }
    }
  },
)

test("sheets that lie too long stand on the manager's page, a line a kind, and on nobody else's", async () => {
  const [old] = await makeSheets(mill.db, { kind: 'weighing', count: 2, printedAt: new Date(Date.now() - 15 * DAY_MS) })
  await makeSheets(mill.db, { kind: 'collection', printedAt: new Date(Date.now() - 13 * DAY_MS) })
  const found = async (who: typeof manager) =>
    (await who.get('/home')).as(HomeView).decide.flatMap((decision) => (decision.kind === 'find-sheets' ? [decision.detail] : []))
  expect(await found(manager)).toMatchObject([{ of: 'weighing', first: old?.code, count: 2 }])
  expect(await found(store)).toEqual([])
})
