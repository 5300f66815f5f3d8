import { setImmediate } from 'node:timers/promises'
import type { z } from 'zod'
import { AssayResult, MAX_IMPORT_ROWS, RecordAssaysBody } from '#contract/laboratory'
import { ANALYTE_IDS, type AnalyteId, type AnalyteUnit } from '#core/composition/analytes'
import { analyteOf } from '#core/laboratory/analyte-words'
import { readHeading, type Column, type Heading } from '#core/laboratory/columns'
import { dayOrderOf, readDay, type DayOrder } from '#core/laboratory/days'
import { conversionOf, decimalSignOf, readFigure, unitsFor, type Conversion, type DecimalSign } from '#core/laboratory/figures'
import { fileFault, type ReadFile } from './import-file.js'

export type RowFault = {
  readonly row: number
  readonly column: Column | null
  readonly header: string
  readonly code: string
  readonly message: string
  readonly facts: Readonly<Record<string, string | number>>
}
export type RowFacts = {
  readonly row: number
  readonly lotNumber: number
  readonly analyte: AnalyteId
  readonly typed: string
  readonly value: number
  readonly unit: AnalyteUnit
  readonly belowDetection: boolean
  readonly sd: number | null
  readonly method: string
  readonly laboratory: string
  readonly measuredOn: string
  readonly note: string
}
export type ReadRows = {
  readonly rows: readonly RowFacts[]
  readonly faults: readonly RowFault[]
  readonly written: number
  readonly decimalSign: DecimalSign
  readonly ignored: readonly string[]
  readonly headerOf: (column: Column | null) => string
}

/** As much of a cell as is told back to whoever wrote it. */
const MOST_TOLD = 60
const told = (cell: string): string => (cell.length > MOST_TOLD ? `${cell.slice(0, MOST_TOLD)}...` : cell)

export const rowFault = (
  row: number,
  { column, header }: Pick<RowFault, 'column' | 'header'>,
  { code, message, facts = {} }: Pick<RowFault, 'code' | 'message'> & { readonly facts?: RowFault['facts'] },
): RowFault => ({ row, column, header, code, message: `row ${row}${column === null ? '' : `, column "${header}"`}: ${message}`, facts })

const FIGURE_MESSAGES = {
  'leading-sign': 'a figure without a sign before it; a cell that begins with =, +, - or @ is not read as a figure',
  'not-a-number': 'a figure such as 8.4, or "< 2" for below a detection limit of 2',
  'no-limit': 'write the detection limit, such as "< 2"',
  'which-number': 'this could be two numbers: write 1250 or 1.25',
} as const
const DAY_MESSAGES = {
  'not-a-day': 'a day such as 2026-08-04',
  'which-day': 'this could be two days: write the year first, such as 2026-08-04',
} as const

type TextCheck = (text: string) => Pick<RowFault, 'code' | 'message'> | undefined

/** The same few methods and laboratories stand in thousands of rows: each is looked at once. */
const textCheck = (schema: z.ZodType): TextCheck => {
  const known = new Map<string, ReturnType<TextCheck>>()
  return (text) => {
    if (known.has(text)) return known.get(text)
    const issue = schema.safeParse(text).error?.issues[0]
    const fault = issue && {
      code: text === '' ? 'empty' : issue.code === 'too_big' ? 'too-long' : 'character',
      message: text === '' ? 'nothing is written here' : issue.message,
    }
    known.set(text, fault)
    return fault
  }
}

type Reading = {
  readonly heading: Heading
  readonly headerOf: (column: Column | null) => string
  readonly decimalSign: DecimalSign
  readonly dayOrder: DayOrder
  readonly texts: Readonly<Record<'method' | 'laboratory' | 'note', TextCheck>>
}

const LOT_NUMBER = /^[1-9]\d{0,8}$/

/** The cells of one row by their columns, and what is said against them. */
const openRow = (row: number, cells: readonly string[], { heading, headerOf, decimalSign }: Reading) => {
  const faults: RowFault[] = []
  const cell = (column: Column): string => cells[heading.at.get(column) ?? -1]?.trim() ?? ''
  const refuse = (column: Column | null, code: string, message: string, facts: RowFault['facts'] = {}): void => {
    const typed = column === null ? {} : { typed: told(cell(column)) }
    faults.push(rowFault(row, { column, header: headerOf(column) }, { code, message, facts: { ...typed, ...facts } }))
  }
  const written = (column: Column): boolean => {
    if (cell(column) !== '') return true
    refuse(column, 'empty', 'nothing is written here')
    return false
  }
  const figure = (column: 'value' | 'sd'): { text: string; below: boolean } | undefined => {
    const read = readFigure(cell(column), decimalSign)
    if (read.kind === 'figure') return read
    refuse(column, read.code, FIGURE_MESSAGES[read.code])
    return undefined
  }
  return { faults, cell, refuse, written, figure }
}
type OpenRow = ReturnType<typeof openRow>

/** What was measured, and how its figures get into the unit that the mill keeps. */
const readAnalyte = ({ cell, refuse, written }: OpenRow): { analyte: AnalyteId; conversion: Conversion } | undefined => {
  const units = written('unit')
  if (!written('analyte')) return undefined
  const analyte = analyteOf(cell('analyte'))
  if (analyte === undefined) {
    const allowed = ANALYTE_IDS.join(', ')
    refuse('analyte', 'analyte-unknown', `one of ${allowed}`, { allowed })
    return undefined
  }
  const conversion = units ? conversionOf(analyte, cell('unit')) : undefined
  if (conversion !== undefined) return { analyte, conversion }
  const allowed = unitsFor(analyte).join(', ')
  if (units) refuse('unit', 'unit', `${analyte} in ${allowed}`, { allowed })
  return undefined
}

const readSd = ({ cell, refuse, figure }: OpenRow, conversion: Conversion | undefined): number | null => {
  const read = cell('sd') === '' ? undefined : figure('sd')
  if (read === undefined || conversion === undefined) return null
  const sd = conversion.convert(read.text)
  if (read.below || !AssayResult.shape.sd.safeParse(sd).success) refuse('sd', 'sd-range', 'from 0.000001 to 100,000')
  return sd
}

const readMeasuredOn = ({ cell, refuse, written }: OpenRow, dayOrder: DayOrder): string | undefined => {
  if (!written('measuredOn')) return undefined
  const read = readDay(cell('measuredOn'), dayOrder)
  if (read.kind === 'day') return read.day
  refuse('measuredOn', read.code, DAY_MESSAGES[read.code])
  return undefined
}

const checkTexts = ({ cell, refuse }: OpenRow, texts: Reading['texts']): void => {
  for (const column of ['method', 'laboratory', 'note'] as const) {
    const fault = texts[column](cell(column))
    if (fault !== undefined) refuse(column, fault.code, fault.message)
  }
}

/** One row as facts, or everything that is wrong with it. */
const readRow = (row: number, cells: readonly string[], reading: Reading): { facts?: RowFacts; faults: readonly RowFault[] } => {
  const open = openRow(row, cells, reading)
  const { faults, cell, refuse, written } = open
  if (cells.slice(reading.heading.width).some((extra) => extra.trim() !== ''))
    refuse(null, 'more-cells', 'more cells than there are headings; a cell that holds the separator stands in quotation marks')
  if (written('lot') && !LOT_NUMBER.test(cell('lot'))) refuse('lot', 'lot-number', 'the number of a lot in digits, such as 47')
  const known = readAnalyte(open)
  const value = written('value') ? open.figure('value') : undefined
  const sd = readSd(open, known?.conversion)
  checkTexts(open, reading.texts)
  const measuredOn = readMeasuredOn(open, reading.dayOrder)
  if (faults.length > 0 || known === undefined || value === undefined || measuredOn === undefined) return { faults }
  const { analyte, conversion } = known
  const figures = { value: conversion.convert(value.text), unit: conversion.unit, belowDetection: value.below, sd }
  const words = { method: cell('method'), laboratory: cell('laboratory'), note: cell('note') }
  const typed = `${cell('value')} ${cell('unit')}`
  return { faults, facts: { row, lotNumber: Number(cell('lot')), analyte, typed, ...figures, ...words, measuredOn } }
}

/** Between so many rows others get their answers. */
export const ROWS_AT_ONCE = 2000

const isWritten = (cells: readonly string[]): boolean => cells.some((cell) => cell.trim() !== '')

const checkHeading = ({ missing, twice }: Heading): void => {
  if (twice.length > 0) throw fileFault('column-twice', `these columns stand twice: ${twice.join(', ')}`, { columns: twice })
  if (missing.length > 0) throw fileFault('columns-missing', `the first line lacks the columns ${missing.join(', ')}`, { columns: missing })
}

/** Every row in which something is written, under the headings of the first one, numbered as a spreadsheet numbers them. */
export const readRows = async ({ records }: ReadFile): Promise<ReadRows> => {
  const first = records.findIndex(isWritten)
  const headers = records[first] ?? []
  const heading = readHeading(headers)
  checkHeading(heading)
  const numbered = records
    .map((cells, index) => ({ row: index + 1, cells }))
    .slice(first + 1)
    .filter(({ cells }) => isWritten(cells))
  if (numbered.length === 0) throw fileFault('no-rows', 'there is no row below the headings')
  if (numbered.length > MAX_IMPORT_ROWS) {
    const facts = { rows: numbered.length, maximum: MAX_IMPORT_ROWS }
    throw fileFault('too-many-rows', `${facts.rows} rows; at most ${facts.maximum} in one file`, facts)
  }
  const column = (name: Column): string[] => numbered.map(({ cells }) => cells[heading.at.get(name) ?? -1] ?? '')
  const reading: Reading = {
    heading,
    headerOf: (name) => (name === null ? '' : (headers[heading.at.get(name) ?? -1]?.trim() ?? '')),
    decimalSign: decimalSignOf([...column('value'), ...column('sd')]),
    dayOrder: dayOrderOf(column('measuredOn')),
    texts: {
      method: textCheck(AssayResult.shape.method),
      laboratory: textCheck(RecordAssaysBody.shape.laboratory),
      note: textCheck(AssayResult.shape.note),
    },
  }
  const read: ReturnType<typeof readRow>[] = []
  for (const [index, { row, cells }] of numbered.entries()) {
    if (index % ROWS_AT_ONCE === 0) await setImmediate()
    read.push(readRow(row, cells, reading))
  }
  return {
    rows: read.flatMap(({ facts }) => facts ?? []),
    faults: read.flatMap(({ faults }) => faults),
    written: numbered.length,
    decimalSign: reading.decimalSign,
    ignored: heading.ignored,
    headerOf: reading.headerOf,
  }
}
