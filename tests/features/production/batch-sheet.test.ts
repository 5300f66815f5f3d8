import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { BatchSheetView } from '#contract/production'
import { gramsFromFloatKg, grams } from '#core/quantity/mass'
import { batchSheet } from '#features/production/batch-sheet-document'
import { batchSheetPdf } from '#features/production/batch-sheet-pdf'
import { BATCH_SHEET_WORDS } from '#features/production/batch-sheet-words'
import { allowedOf, figureOf, sacksOf } from '#features/production/sheet-figures'
import { sheetPages } from '#features/production/sheet-pages'
import { stageInWords } from '#features/production/stage-words'
import { has } from '../../support/programs.js'
import { loadLines, longFacts, LOTS, sheetFacts } from './sheet-facts.js'

const at = new Date('2026-08-04T04:10:00.000Z')
const floor = { name: 'floor', stepGrams: 100 } as const
const table = { name: 'table', stepGrams: 5 } as const
const plain = (text: string): string => text.replaceAll('\u00a0', ' ')

test('figures have the unit and the decimals of their scale, and no point on the table scale', () => {
  expect(plain(figureOf(gramsFromFloatKg(82), floor))).toBe('82.0 kg')
  expect(plain(figureOf(gramsFromFloatKg(1250.5), { name: 'floor', stepGrams: 500 }))).toBe('1,250.5 kg')
  expect(plain(figureOf(gramsFromFloatKg(82), { name: 'floor', stepGrams: 20 }))).toBe('82.00 kg')
  expect(plain(figureOf(gramsFromFloatKg(82), { name: 'floor', stepGrams: 1000 }))).toBe('82 kg')
  expect(plain(figureOf(gramsFromFloatKg(6.75), table))).toBe('6,750 g')
  // an odd gram is shown, never rounded away
  expect(plain(figureOf(gramsFromFloatKg(82.005), floor))).toBe('82.005 kg')
})

test('an allowed range is rounded inwards to what the scale shows', () => {
  expect(plain(allowedOf(gramsFromFloatKg(81.59), gramsFromFloatKg(82.41), floor))).toBe('81.6 \u2013 82.4')
  expect(plain(allowedOf(grams(6717), grams(6784), table))).toBe('6,720 \u2013 6,780')
  expect(plain(allowedOf(grams(50_020), grams(50_080), floor))).toBe('50.020 \u2013 50.080')
})

test('whole sacks are those of the lot as delivered, the rest is weighed', () => {
  const lot = { net: gramsFromFloatKg(4980), bags: 100 }
  expect(sacksOf(gramsFromFloatKg(148), lot)).toEqual({ sacks: 2, loose: gramsFromFloatKg(48.4) })
  expect(sacksOf(gramsFromFloatKg(20), lot)).toEqual({ sacks: 0, loose: gramsFromFloatKg(20) })
  expect(sacksOf(gramsFromFloatKg(148), { net: gramsFromFloatKg(4980), bags: null })).toEqual({ sacks: 0, loose: gramsFromFloatKg(148) })
})

test('the model says what the sheet of the design says', () => {
  const sheet = BatchSheetView.parse(batchSheet(sheetFacts({ language: 'sw' })))
  expect(sheet.title).toBe('KARATASI YA MKUPUO')
  expect(sheet.printedAt).toBe('Jumanne 4 Ago 2026, 07:10')
  expect(sheet.qr).toBe('KINU BATCH 211')
  expect(sheet.rows.map((row) => [row.name, row.lotNumber, row.bags, plain(row.loose), plain(row.kg), row.running])).toEqual([
    ['Mahindi ya njano', '41', 3, '', '150.0 kg', '150.0'],
    ['Mashudu ya soya', '38', 0, 'ya kupima', '82.0 kg', '232.0'],
    ['Dagaa', '36', 0, 'ya kupima', '20.0 kg', '252.0'],
    ['Mashudu ya alizeti', '29', 0, 'ya kupima', '48.0 kg', '300.0'],
    ['Chokaa ya mifugo', '112', 1, '+ 17.0 kg', '42.0 kg', '342.0'],
    ['MCHANGANYIKO WA AWALI 211', '', 0, 'kutoka kisanduku cha chini', '10.0 kg', '352.0'],
    ['Mahindi ya njano', '41', 2, '+ 48.0 kg', '148.0 kg', '500.0'],
  ])
  expect(plain(sheet.preBlend?.totalGrams ?? '')).toBe('10,000 g')
  expect(sheet.preBlend?.rows.map((row) => plain(row.grams))).toEqual(['6,750 g', '1,250 g', '1,500 g', '500 g'])
  expect(sheet.bags).toBe('MIFUKO 10 ya kilo 50')
  expect(sheet.medicine).toEqual({ medicated: false, text: 'bila dawa' })
  expect(sheet.before).toEqual(['mashine ni tupu', 'baada ya mkupuo 210: hakuna haja ya kusafishia', 'mizani imekaguliwa'])
})

test('full bags are said in words in both languages, and only where every bag holds the same', () => {
  const rows = [
    [LOTS.maize, 167.4],
    [LOTS.soya, 90],
    [{ ...LOTS.maize, net: gramsFromFloatKg(4980) }, 148],
  ] as const
  const said = (language: 'en' | 'sw') =>
    batchSheet(sheetFacts({ language, lines: loadLines(rows) })).rows.map((row) => [row.bags, row.bagsOf, plain(row.loose)])
  expect(said('en')).toEqual([
    [3, '3 bags of 50 kg', '+ 17.4 kg'],
    [1, '1 bag of 90 kg', ''],
    [2, '', '+ 48.4 kg'],
  ])
  expect(said('sw').map(([, words]) => words)).toEqual(['magunia 3 ya kilo 50', 'gunia 1 la kilo 90', ''])
})

test('medicine, dose and days of waiting stand in one text; unknown days are said, never nought', () => {
  const medicine = { active: 'lasalocid A sodium', mgPerKg: 90, withdrawalDays: 5 }
  expect(plain(batchSheet(sheetFacts({ medicine })).medicine.text)).toBe(
    'MEDICATED FEED: lasalocid A sodium 90 mg/kg; withdrawal 5 days; not for laying hens',
  )
  expect(batchSheet(sheetFacts({ medicine: { ...medicine, withdrawalDays: null } })).medicine.text).toContain('ask the veterinarian')
})

test('both languages have every word, and every stage of the tables has its words', () => {
  const shape = (value: unknown): unknown =>
    Array.isArray(value)
      ? value.map(shape)
      : typeof value === 'object' && value !== null
        ? Object.fromEntries(Object.entries(value).map(([key, word]) => [key, shape(word)]))
        : typeof value
  expect(shape(BATCH_SHEET_WORDS.sw)).toEqual(shape(BATCH_SHEET_WORDS.en))
  expect(stageInWords('layer_peak', 'sw')).toBe('kuku wa mayai, kilele cha kutaga')
  const texts = (value: unknown): string[] =>
    typeof value === 'string' ? [value] : typeof value === 'object' && value !== null ? Object.values(value).flatMap(texts) : []
  const english = texts(batchSheet(longFacts({ language: 'en' }))).filter((text) => /[a-z]{4}/.test(text))
  const swahili = new Set(texts(batchSheet(longFacts({ language: 'sw' }))))
  // Names of people, firms and pictograms are the same in both.
  expect(english.filter((text) => swahili.has(text) && !/^[a-z-]+$/.test(text)).toSorted()).toEqual(
    ['Juma Otieno', 'Mixer 1', 'Mlima Kijani Poultry Cooperative'].filter((text) => swahili.has(text)),
  )
})

test('12 rows with medicine and 5 pre-blend lines are one page, 14 are two; no row is lost and none stands alone with nothing', () => {
  const heights = { page: 269, firstHead: 52.8, nextHead: 53.8, row: 14, tail: 48 }
  expect(sheetPages(12, heights)).toEqual([12])
  expect(sheetPages(14, heights)).toEqual([13, 1])
  for (let rows = 1; rows < 60; rows += 1) {
    const pages = sheetPages(rows, heights)
    expect(pages.reduce((sum, count) => sum + count, 0)).toBe(rows)
    expect(pages.every((count) => count > 0)).toBe(true)
  }
})

const pageCount = (pdf: Uint8Array): number =>
  Buffer.from(pdf)
    .toString('latin1')
    .match(/\/Type \/Page\b/g)?.length ?? 0
const load12 = (language: 'en' | 'sw') => {
  const long = longFacts({ language })
  const load = long.lines.filter(({ part }) => part === 'load').slice(0, 12)
  return batchSheet({ ...long, lines: [...load, ...long.lines.filter(({ part }) => part === 'pre-blend')] })
}

test.each(['en', 'sw'] as const)(
  'the PDF in %s: one page up to 12 rows and 5 pre-blend lines, medicated too, then two',
  async (language) => {
    expect(pageCount(await batchSheetPdf(batchSheet(sheetFacts({ language })), at))).toBe(1)
    expect(pageCount(await batchSheetPdf(load12(language), at))).toBe(1)
    expect(pageCount(await batchSheetPdf(batchSheet(longFacts({ language })), at))).toBe(2)
  },
)

const withPage = async (pdf: Uint8Array, use: (file: string) => void): Promise<void> => {
  const folder = mkdtempSync(join(tmpdir(), 'kinu-sheet-'))
  try {
    writeFileSync(join(folder, 'sheet.pdf'), pdf)
    use(join(folder, 'sheet'))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

test.skipIf(!has('zbarimg', 'pdftoppm'))('a scanner reads the batch from the QR code of the printed page', async () => {
  await withPage(await batchSheetPdf(batchSheet(sheetFacts()), at), (file) => {
    execFileSync('pdftoppm', ['-r', '150', '-png', '-singlefile', `${file}.pdf`, file])
    expect(execFileSync('zbarimg', ['-q', '--raw', `${file}.png`], { encoding: 'utf8' }).trim()).toBe('KINU BATCH 211')
  })
})

test.skipIf(!has('pdftotext'))('the second sheet repeats the heads and carries the running total over', async () => {
  await withPage(await batchSheetPdf(batchSheet(longFacts()), at), (file) => {
    const pages = execFileSync('pdftotext', ['-layout', `${file}.pdf`, '-'], { encoding: 'utf8' }).split('\f')
    expect(pages[0]).toContain('sheet 1 of 2')
    expect(pages[1]).toContain('sheet 2 of 2')
    expect(pages[1]).toMatch(/carried over from sheet 1\s+490\.0/)
    expect(pages[1]).toContain('bags to tick')
    expect(pages[1]).toContain('MEDICATED FEED')
  })
})
