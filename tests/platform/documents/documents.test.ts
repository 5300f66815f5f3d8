import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { bytesOf, mm, openDocument, PAGE } from '#platform/documents/page'
import { drawQr, qrModules } from '#platform/documents/qr'
import { drawPictogram, drawStrip } from '#platform/documents/shapes'
import { drawInBox, fittingSize, widthMm, wrap } from '#platform/documents/text'
import { has } from '../../support/programs.js'

const facts = { title: 'A page', author: 'Test Mill', language: 'sw', at: new Date('2026-08-04T04:00:00Z') } as const

test('a millimetre is 72/25.4 points, and the content of A4 is what its margins leave', () => {
  expect(mm(25.4)).toBe(72)
  expect(PAGE.leftMm + PAGE.contentMm + PAGE.rightMm).toBe(PAGE.widthMm)
})

test("Andika's digits are of equal width, so that figures stand under each other", () => {
  const doc = openDocument(facts)
  const widths = [...'0123456789'].map((digit) => widthMm(doc, digit, { size: 20 }))
  expect(new Set(widths.map((width) => width.toFixed(6))).size).toBe(1)
})

test('a text is made smaller until it fits, in half points, and not below the smallest', () => {
  const doc = openDocument(facts)
  const text = 'Chakula cha kuanzia kuku wa nyama'
  const size = fittingSize(doc, text, { size: 24 }, 60)
  expect(widthMm(doc, text, { size })).toBeLessThanOrEqual(60)
  expect(widthMm(doc, text, { size: size + 0.5 })).toBeGreaterThan(60)
  expect(fittingSize(doc, text, { size: 24 }, 5, 9)).toBe(9)
})

test('lines break at spaces and hold every word', () => {
  const doc = openDocument(facts)
  const lines = wrap(doc, 'Mashudu ya alizeti ya mzigo wa pili', { size: 14 }, 30)
  expect(lines.join(' ')).toBe('Mashudu ya alizeti ya mzigo wa pili')
  expect(lines.every((line) => widthMm(doc, line, { size: 14 }) <= 30)).toBe(true)
})

test('a page carries its title and language, and the same page is the same bytes but for its id', async () => {
  const make = async (): Promise<string> => {
    const doc = openDocument(facts)
    doc.addPage()
    drawStrip(doc, 14)
    drawPictogram(doc, 'maize-cob', { xMm: 20, topMm: 20, sizeMm: 10 })
    drawPictogram(doc, 'no such picture', { xMm: 40, topMm: 20, sizeMm: 10 })
    drawInBox(doc, 'Mahindi ya njano', { xMm: 20, topMm: 40, widthMm: 30, heightMm: 14, maxLines: 2 }, { size: 14 })
    return Buffer.from(await bytesOf(doc)).toString('latin1')
  }
  const page = await make()
  expect(page.startsWith('%PDF-')).toBe(true)
  expect(page).toContain('/Lang (sw)')
  expect(page.length).toBe((await make()).length)
})

test('a QR code is square with its three finders', () => {
  const rows = qrModules('KINU BATCH 211')
  expect(rows.every((row) => row.length === rows.length)).toBe(true)
  const finder = [true, true, true, true, true, true, true]
  const end = rows.length - 7
  expect([rows[0]?.slice(0, 7), rows[0]?.slice(end), rows[end]?.slice(0, 7)]).toEqual([finder, finder, finder])
})

test.skipIf(!has('zbarimg', 'pdftoppm'))('a scanner reads every QR code back from the page', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'kinu-qr-'))
  try {
    for (const text of ['KINU BATCH 1', 'KINU BATCH 211', 'KINU BATCH 2147483647']) {
      const doc = openDocument(facts)
      doc.addPage()
      drawQr(doc, text, { xMm: 50, topMm: 50, sizeMm: 16 })
      writeFileSync(join(folder, 'qr.pdf'), await bytesOf(doc))
      execFileSync('pdftoppm', ['-r', '200', '-png', '-singlefile', join(folder, 'qr.pdf'), join(folder, 'qr')])
      expect(execFileSync('zbarimg', ['-q', '--raw', join(folder, 'qr.png')], { encoding: 'utf8' }).trim()).toBe(text)
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
})
