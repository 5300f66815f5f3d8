import { createHash, randomUUID } from 'node:crypto'
import { gzipSync } from 'node:zlib'
import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { type Analyte, ImportCheckView, ImportedAssaysView, MAX_IMPORT_ROWS } from '#contract/laboratory'
import { AssayView } from '#contract/lots'
import { makeLot, type BuiltLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { createUser } from '../../support/users.js'
import { dayFromNow } from '../../support/builders/days.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))
const laboratory = () => mill.as('laboratory')

const HEADER = 'lot number,analyte,value,unit,method,laboratory,date measured,note'
const DAY = dayFromNow(-3)
const file = (...rows: string[]): string => [HEADER, ...rows].join('\n')
const line = (lot: BuiltLot, analyte: string, value: string, unit = '%', rest = `Kjeldahl,District laboratory,${DAY},`): string =>
  [lot.number, analyte, value, unit, rest].join(',')
const partsOf = (text: string): string[] => text.match(/[\s\S]{1,60000}/g) ?? ['']
const fingerprintOf = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex')

const check = async (text: string, paging: object = {}) =>
  (await laboratory()).post('/assays/import/check', { parts: partsOf(text), ...paging })
const checked = async (text: string) => (await check(text)).as(ImportCheckView)
const importing = async (text: string, confirmedUnusual = 0, key: string = randomUUID()) =>
  (await laboratory()).post('/assays/import', { parts: partsOf(text), fingerprint: fingerprintOf(text), confirmedUnusual }, { key })
const held = () => makeLot(mill.db, { status: 'on-hold' })
const recordedOf = (lot: BuiltLot) => mill.db.assay.findMany({ where: { lotId: lot.id }, orderBy: { id: 'asc' } })

describe('a file of results', () => {
  it('is checked without keeping anything, then recorded whole with one audit row', async () => {
    const [one, two] = [await held(), await held()]
    const text = file(line(one, 'CP', '8.4'), line(one, 'moisture', '12.5'), line(two, 'aflatoxin_total', '< 2', 'ppb'))
    const before = await checked(text)
    expect(before).toMatchObject({ rows: 3, good: 3, unusual: 0, faulty: 0, lots: 2, separator: 'comma', fingerprint: fingerprintOf(text) })
    expect(await recordedOf(one)).toHaveLength(0)

    const reply = await importing(text)
    expect(reply.status, reply.text).toBe(201)
    expect(reply.as(ImportedAssaysView)).toMatchObject({
      results: 3,
      lots: 2,
      badLots: [],
      firstLots: [
        { lotNumber: one.number, results: 2 },
        { lotNumber: two.number, results: 1 },
      ],
    })
    const [limit] = await recordedOf(two)
    expect(limit).toMatchObject({ value: 2, unit: 'ug/kg', belowDetection: true, method: 'Kjeldahl', laboratory: 'District laboratory' })
    expect(await mill.db.lot.findUniqueOrThrow({ where: { id: one.id } })).toMatchObject({ revision: 2 })
    const audit = await mill.db.auditEntry.findMany({ where: { action: 'assays.imported' } })
    expect(audit.map(({ facts }) => facts)).toEqual([{ fingerprint: fingerprintOf(text), results: 3, lots: 2, unusual: 0 }])
  })

  it('gives every list of the laboratory the same results as the form would', async () => {
    const lot = await held()
    await importing(file(line(lot, 'protini', '84', 'g/kg', `NIR,"Lab, ""North""",${DAY},"=note, kept as text"`)))
    const [assay] = (await (await laboratory()).get('/assays', { lotId: lot.id })).as(z.array(AssayView))
    expect(assay).toMatchObject({ analyte: 'CP', value: 8.4, unit: '%', laboratory: 'Lab, "North"', note: '=note, kept as text' })
  })

  it.each([
    ['semicolons, decimal commas, a byte order mark and CRLF', ';', '\r\n', '\ufeff', '8,4', 'semicolon', 'comma'],
    ['tabs', '\t', '\n', '', '8.4', 'tab', 'point'],
    ['the line ends of an old Macintosh', ',', '\r', '', '8.4', 'comma', 'point'],
  ])('may be written with %s', async (_what, separator, newline, mark, value, separatorName, decimalSign) => {
    const lot = await held()
    const header = ['Maelezo', 'Tarehe ya kupima', 'Maabara', 'Njia', 'Kizio', 'Tokeo', 'Kipimo', 'Namba ya mzigo', 'rangi', 'sd']
    const cells = ['', DAY, 'Maabara ya wilaya', 'Kjeldahl', '%', value, 'protini', String(lot.number), 'njano', '0.2']
    const text = mark + [header, cells].map((row) => row.join(separator)).join(newline) + newline
    expect(await checked(text)).toMatchObject({
      separator: separatorName,
      decimalSign: separatorName === 'semicolon' ? 'both' : decimalSign,
      ignoredColumns: ['rangi'],
      good: 1,
    })
    expect((await importing(text)).status).toBe(201)
    expect(await recordedOf(lot)).toMatchObject([{ value: 8.4, sd: 0.2, laboratory: 'Maabara ya wilaya' }])
  })

  it('may come in pieces cut anywhere, and packed', async () => {
    const lot = await held()
    const text = file(line(lot, 'CP', '8.4', '%', `Kjeldahl,"Laboratory\r\nin the yard",${DAY},`), line(lot, 'moisture', '12'))
    const body = gzipSync(JSON.stringify({ parts: [...text] }))
    const agent = await laboratory()
    const reply = await mill.app.inject({
      method: 'POST',
      url: '/api/v1/assays/import/check',
      headers: { ...agent.headers(), 'content-type': 'application/json', 'content-encoding': 'gzip' },
      payload: body,
    })
    expect(ImportCheckView.parse(reply.json())).toMatchObject({ good: 2, faulty: 0, fingerprint: fingerprintOf(text) })
  })

  it('counts rows as a spreadsheet does: headings, empty lines and cells of two lines too', async () => {
    const lot = await held()
    const text = file('', line(lot, 'CP', '8', '%', `a,b,${DAY},"two\nlines"`), ',,,,,,,', line(lot, 'CP', 'x'))
    expect(await checked(text)).toMatchObject({ rows: 2, good: 1, goodRows: [{ row: 3 }], faultRows: [{ row: 5 }] })
  })

  const bad = (analyte: string, value: string, unit = '%', day = DAY) => `${analyte},${value},${unit},Kjeldahl,District laboratory,${day},`
  it.each([
    ['a unit that the mill does not know', bad('CP', '9', 'g/l'), 'unit', 'unit'],
    ['a unit of another kind of analyte', bad('aflatoxin_total', '9'), 'unit', 'unit'],
    ['an unknown analyte', bad('gold', '1'), 'analyte', 'analyte-unknown'],
    ['a value in words', bad('CP', 'nine'), 'value', 'not-a-number'],
    ['a value that a spreadsheet would calculate', bad('CP', '=8+1'), 'value', 'leading-sign'],
    ['a value with a minus', bad('CP', '-1'), 'value', 'leading-sign'],
    ['a value with a plus', bad('CP', '+8'), 'value', 'leading-sign'],
    ['a value with @', bad('CP', '@SUM(1)'), 'value', 'leading-sign'],
    ['"not detected" without its limit', bad('aflatoxin_total', 'n.d.', 'ppb'), 'value', 'no-limit'],
    ['a figure that could be two', bad('CP', '"1,250"', 'mg/kg'), 'value', 'which-number'],
    ['more than there can be', bad('CP', '450'), 'value', 'above-possible'],
    ['no value', bad('CP', ''), 'value', 'empty'],
    ['a day still to come', bad('CP', '8', '%', '2031-01-01'), 'measuredOn', 'in-the-future'],
    ['a day two months before the lot came', bad('CP', '8', '%', dayFromNow(-62)), 'measuredOn', 'before-the-lot'],
    ['a date that could be two', bad('CP', '8', '%', '04/08/2026'), 'measuredOn', 'which-day'],
    ['no date at all', bad('CP', '8', '%', 'yesterday'), 'measuredOn', 'not-a-day'],
    ['a method without end', `CP,8,%,${'m'.repeat(81)},District laboratory,${DAY},`, 'method', 'too-long'],
    ['no laboratory', `CP,8,%,Kjeldahl, ,${DAY},`, 'laboratory', 'empty'],
    ['a control character', `CP,8,%,Kjel\u0007dahl,District laboratory,${DAY},`, 'method', 'character'],
    ['a separator too many', `CP,8,4,%,Kjeldahl,District laboratory,${DAY},note`, null, 'more-cells'],
  ])('with %s is refused whole, and says row, column, what is wrong and what is allowed', async (_what, rest, column, code) => {
    const lot = await held()
    const text = file(line(lot, 'moisture', '12'), `${lot.number},${rest}`)
    const { good, faultRows } = await checked(text)
    expect(good).toBe(1)
    const fault = faultRows.find((each) => each.code === code)
    expect(fault).toMatchObject({ row: 3, column })
    expect(fault?.message).toMatch(column === null ? /^row 3: \w/ : /^row 3, column "[a-z ]+": \w/)
    const reply = await importing(text)
    expect(reply.status).toBe(400)
    expect(reply.problem().errors?.map((error) => [error.path, error.code])).toContainEqual([
      column === null ? 'rows.3' : `rows.3.${column}`,
      code,
    ])
    expect(await recordedOf(lot)).toHaveLength(0)
  })

  it.each([
    ['0', 'sd-range'],
    ['< 1', 'sd-range'],
    ['1000001', 'sd-range'],
    ['+0.2', 'leading-sign'],
    ['small', 'not-a-number'],
  ])('with a spread of %s is refused', async (sd, code) => {
    const lot = await held()
    const text = [`${HEADER},sd`, `${line(lot, 'CP', '8.4')},${sd}`].join('\n')
    expect((await checked(text)).faultRows).toMatchObject([{ row: 2, column: 'sd', code }])
  })

  it('may be longer than other requests, but not without end', async () => {
    const agent = await laboratory()
    const parts = (pieces: number): string[] => Array.from({ length: pieces }, () => 'x'.repeat(100_000))
    // read, and found to have no headings
    expect((await agent.post('/assays/import/check', { parts: parts(20) })).problem().code).toBe('bad-input')
    expect((await agent.post('/assays/import/check', { parts: parts(170) })).problem().code).toBe('payload-too-large')
    expect((await agent.post(`/lots/${(await held()).id}/assays`, { laboratory: parts(20) })).problem().code).toBe('payload-too-large')
  })

  it('refuses lots that there are not, and lot numbers that are none', async () => {
    const rest = `CP,8,%,Kjeldahl,District laboratory,${DAY},`
    expect((await checked(file(`999999,${rest}`, `lot 47,${rest}`, `=1,${rest}`))).faultRows).toMatchObject([
      { row: 2, column: 'lot', code: 'lot-unknown', facts: { typed: '999999' } },
      { row: 3, column: 'lot', code: 'lot-number' },
      { row: 4, column: 'lot', code: 'lot-number' },
    ])
  })

  it('refuses a determination that stands twice in the file, or in the books already', async () => {
    const lot = await held()
    const first = file(line(lot, 'CP', '8.4'))
    expect((await checked(file(line(lot, 'CP', '8.4'), line(lot, 'protein', '84', 'g/kg')))).faultRows).toMatchObject([
      { row: 3, code: 'twice-in-file', facts: { other: 2 } },
    ])
    expect((await importing(first)).status).toBe(201)
    const [again] = (await checked(first)).faultRows
    expect(again).toMatchObject({ row: 2, code: 'recorded', facts: { recorded: '8.4 %', lot: lot.number } })
    const second = await importing(first)
    expect(second.problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'rows.2', code: 'recorded' }] })
    expect(await recordedOf(lot)).toHaveLength(1)
    // a second determination has its own name
    expect((await importing(file(line(lot, 'CP', '8.6', '%', `Kjeldahl 2,District laboratory,${DAY},`)))).status).toBe(201)
  })

  it.each([
    ['nothing', '', 'empty-file'],
    ['only headings', HEADER, 'no-rows'],
    ['no headings', '47,CP,8,%,Kjeldahl,Lab,2026-11-20,', 'columns-missing'],
    ['a heading twice', `${HEADER},value\n1`, 'column-twice'],
    ['a quotation mark without a partner', `${HEADER}\n47,CP,"8`, 'quotes'],
    ['a quotation mark inside a cell', `${HEADER}\n47,CP,8"4`, 'quotes'],
    ['a row too many', `${HEADER}\n${'1,x\n'.repeat(MAX_IMPORT_ROWS + 1)}`, 'too-many-rows'],
  ])('with %s is no file of results', async (_what, text, code) => {
    for (const reply of [await check(text), await importing(text)]) {
      expect(reply.status).toBe(400)
      expect(reply.problem().errors).toMatchObject([{ path: 'file', code }])
    }
  })

  it('asks to confirm unusual results by their number, and names their rows', async () => {
    const lot = await held()
    const text = file(line(lot, 'moisture', '12'), line(lot, 'CP', '31'))
    expect(await checked(text)).toMatchObject({ good: 2, unusual: 1, faulty: 0, unusualRows: [{ row: 3, value: 31 }] })
    const refused = await importing(text)
    expect(refused.problem().errors).toMatchObject([
      { path: 'confirmedUnusual', code: 'unusual-unconfirmed', facts: { count: 1, rows: [3] } },
    ])
    expect((await importing(text, 2)).status).toBe(400)
    expect((await importing(text, 1)).status).toBe(201)
  })

  it('must be the one that was checked', async () => {
    const lot = await held()
    const text = file(line(lot, 'CP', '8.4'))
    const agent = await laboratory()
    const other = await agent.post('/assays/import', { parts: [text], fingerprint: fingerprintOf(`${text} `) })
    expect(other.problem().errors).toMatchObject([{ path: 'fingerprint', code: 'file-changed' }])
  })

  it('tells faults page by page', async () => {
    const lot = await held()
    const text = file(...Array.from({ length: 25 }, () => line(lot, 'CP', 'x')))
    const page = (await check(text, { page: 2, perPage: 10 })).as(ImportCheckView)
    expect(page).toMatchObject({ faults: 25, faulty: 25, good: 0, page: 2 })
    expect(page.faultRows.map(({ row }) => row)).toEqual([12, 13, 14, 15, 16, 17, 18, 19, 20, 21])
  })

  it('opens a discrepancy for each released lot that it condemns, and for no other', async () => {
    const [bad, fine, onHold] = [await makeLot(mill.db), await makeLot(mill.db), await held()]
    const poisoned = (lot: BuiltLot, value: string) => line(lot, 'aflatoxin_total', value, 'ug/kg')
    const reply = await importing(file(poisoned(bad, '31'), poisoned(fine, '3'), line(fine, 'CP', '8.2'), poisoned(onHold, '31')))
    // the lots of the builder have no results of their own, which the mill's rule wants too: only the sum of rules tells
    const answer = reply.as(ImportedAssaysView)
    expect(answer.badLots.map(({ lotNumber }) => lotNumber)).toContain(bad.number)
    expect(answer.badLots.map(({ lotNumber }) => lotNumber)).not.toContain(onHold.number)
    const discrepancy = await mill.db.discrepancy.findFirstOrThrow({ where: { lotId: bad.id } })
    expect(discrepancy.kind).toBe('released-lot-fails')
    expect(JSON.stringify(discrepancy.facts)).toContain('AF-REC-04')
  })
})

describe('two imports of one file at once', () => {
  it('have one effect with one key, and one answer', async () => {
    const lot = await held()
    const text = file(line(lot, 'CP', '8.4'), line(lot, 'moisture', '12'))
    const key = randomUUID()
    const replies = await Promise.all([importing(text, 0, key), importing(text, 0, key), importing(text, 0, key)])
    for (const { status } of replies) expect([201, 409]).toContain(status)
    const after = await importing(text, 0, key)
    expect(after).toMatchObject({ status: 201, headers: { 'idempotency-replayed': 'true' } })
    expect(await recordedOf(lot)).toHaveLength(2)
  })

  it('have one effect with two keys: the second is told that all is recorded', async () => {
    const lots = await Promise.all(Array.from({ length: 8 }, held))
    const text = file(...lots.map((lot) => line(lot, 'CP', '8.4')))
    const replies = await Promise.all(Array.from({ length: 4 }, () => importing(text)))
    expect(replies.map(({ status }) => status).sort()).toEqual([201, 400, 400, 400])
    for (const reply of replies.filter(({ status }) => status === 400))
      expect(reply.problem().errors?.map(({ code }) => code)).toEqual(lots.map(() => 'recorded'))
    for (const lot of lots) expect(await recordedOf(lot)).toHaveLength(1)
  })

  it('in different orders do not wait for each other', async () => {
    const lots = await Promise.all(Array.from({ length: 20 }, held))
    const one = file(...lots.map((lot) => line(lot, 'CP', '8.4')))
    const other = file(...lots.toReversed().map((lot) => line(lot, 'moisture', '12')))
    const replies = await Promise.all([importing(one), importing(other)])
    expect(replies.map(({ status }) => status)).toEqual([201, 201])
  })
})

it('records 50,000 results in one go', async () => {
  const LOTS = 500
  const supplierId = (await makeSupplier(mill.db)).id
  const receivedBy = (await createUser(mill.db, { role: 'store-keeper' })).id
  const now = new Date()
  const decided = { decidedBy: receivedBy, decidedAt: now, statusReason: 'built for a test' }
  const facts = { ingredientId: 'maize_white', supplierId, receivedAt: now, receivedBy, netKg: '1000', pricePerKg: '40' }
  const lots = Array.from({ length: LOTS }, (_, index) => ({
    ...facts,
    id: randomUUID(),
    ...(index % 5 > 0 ? { status: 'on-hold' } : { status: 'released', ...decided }),
  }))
  await mill.db.lot.createMany({ data: lots })
  const made = await mill.db.lot.findMany({ where: { supplierId }, select: { number: true } })
  // white maize as its book has it, so that no result is unusual; invented figures within its usual range
  const figures: Readonly<Partial<Record<z.output<typeof Analyte>, string>>> = {
    moisture: '12.5',
    CP: '8.8',
    starch: '63',
    aflatoxin_total: '4',
  }
  const rows = made.flatMap(({ number }) =>
    Array.from({ length: 25 }, (_, series) =>
      Object.entries(figures).map(
        ([analyte, value]) =>
          `${number},${analyte},${value},${analyte.startsWith('aflatoxin') ? 'ppb' : '%'},method ${series},District laboratory,${DAY},`,
      ),
    ).flat(),
  )
  expect(rows).toHaveLength(MAX_IMPORT_ROWS)
  const text = file(...rows)
  const started = performance.now()
  const before = await checked(text)
  const checkedAt = performance.now()
  expect(before).toMatchObject({ rows: MAX_IMPORT_ROWS, good: MAX_IMPORT_ROWS, faults: 0, unusual: 0, lots: LOTS })
  const reply = await importing(text)
  const done = performance.now()
  console.log(`50,000 results: checked in ${Math.round(checkedAt - started)} ms, recorded in ${Math.round(done - checkedAt)} ms`)
  expect(reply.status, reply.text.slice(0, 500)).toBe(201)
  expect(reply.as(ImportedAssaysView)).toMatchObject({ results: MAX_IMPORT_ROWS, lots: LOTS, badLots: [] })
  expect(await mill.db.assay.count({ where: { lot: { supplierId } } })).toBe(MAX_IMPORT_ROWS)
}, 120_000)
