import { expect, test } from 'vitest'
import { judgeTimes, readSheetCode, sheetCode, sheetsToFind, type OpenSheet } from '#core/sheets/sheet'

const at = (text: string): Date => new Date(`2026-08-${text}:00.000Z`)

test('a sheet is named by its letter and at least four digits, and read back however people type it', () => {
  expect([sheetCode('receiving', 12), sheetCode('weighing', 3), sheetCode('collection', 12_345)]).toEqual(['R-0012', 'W-0003', 'C-12345'])
  for (const typed of ['R-0012', 'r12', ' R 12 ', 'r-12']) expect(readSheetCode(typed)).toEqual({ kind: 'receiving', number: 12 })
  expect(readSheetCode('0012')).toEqual({ kind: null, number: 12 })
  for (const typed of ['', 'R', 'X-0012', 'R-0000', 'R-12-13', '12kg']) expect(readSheetCode(typed)).toBeNull()
})

test('what happened lies between the minute of printing and now, and late is later than seven days', () => {
  const printedAt = new Date('2026-08-01T06:30:45.000Z')
  const judge = (happened: string, entered: string) => judgeTimes({ printedAt, happenedAt: at(happened), enteredAt: at(entered) })
  expect(judge('01T06:30', '01T07:00')).toEqual({ kind: 'good' })
  expect(judge('01T06:29', '01T07:00')).toEqual({ kind: 'before-printed' })
  expect(judge('01T07:05', '01T07:00')).toEqual({ kind: 'good' })
  expect(judge('01T07:06', '01T07:00')).toEqual({ kind: 'in-the-future' })
  expect(judge('02T07:00', '09T07:00')).toEqual({ kind: 'good' })
  expect(judge('02T07:00', '09T07:01')).toEqual({ kind: 'late', days: 7 })
})

test('a sheet is looked for when it lies longer than two weeks, or a later one of its kind was entered more than two days ago', () => {
  const open: OpenSheet[] = [
    { kind: 'receiving', number: 1, printedAt: at('01T08:00') },
    { kind: 'receiving', number: 4, printedAt: at('12T08:00') },
    { kind: 'receiving', number: 6, printedAt: at('12T08:00') },
    { kind: 'weighing', number: 2, printedAt: at('12T08:00') },
  ]
  const found = (now: string, enteredAt: string) =>
    sheetsToFind(open, new Map([['receiving', { number: 5, enteredAt: at(enteredAt) }]]), at(now)).map(({ number }) => number)
  expect(found('14T08:00', '12T08:00')).toEqual([])
  expect(found('14T08:01', '12T08:00')).toEqual([1, 4])
  expect(found('15T08:01', '15T08:00')).toEqual([1])
  expect(found('26T08:01', '26T08:00')).toEqual([1, 4, 6, 2])
})
