import { setImmediate } from 'node:timers/promises'
import type { BookIngredient } from '#core/composition/book'
import { loadBook } from '#features/ingredients/book'
import type { Db, Tx } from '#platform/database/client'
import { dayAt } from '#platform/mill-day'
import { resultFaults } from './assay-rules.js'
import type { ReadFile } from './import-file.js'
import { readRows, ROWS_AT_ONCE, rowFault, type ReadRows, type RowFacts, type RowFault } from './import-rows.js'

type Names = { readonly ingredientId: string; readonly ingredientNameEn: string; readonly ingredientNameSw: string }
type LotOfRow = Names & { readonly id: string; readonly receivedOn: string }
export type CheckedRow = RowFacts &
  Names & {
    readonly lotId: string
    readonly usual: { readonly low: number; readonly high: number } | null
  }
export type CheckedFile = Omit<ReadRows, 'rows'> & Pick<ReadFile, 'fingerprint' | 'separator'> & { readonly rows: readonly CheckedRow[] }

type LotRecord = { id: string; number: number; ingredient_id: string; name_en: string; name_sw: string; received_at: Date }

/** By number. One list goes to the database: there can be more of them than a statement has room for parameters. */
const loadLots = async (db: Db | Tx, rows: readonly RowFacts[]): Promise<ReadonlyMap<number, LotOfRow>> => {
  const numbers = [...new Set(rows.map(({ lotNumber }) => lotNumber))]
  const { timeZone } = await db.mill.findUniqueOrThrow({ where: { id: 1 }, select: { timeZone: true } })
  const found = await db.$queryRaw<LotRecord[]>`
    SELECT l.id, l.number, l.ingredient_id, i.name_en, i.name_sw, l.received_at
    FROM lot l JOIN ingredient i ON i.id = l.ingredient_id WHERE l.number = ANY(${numbers}::int[])`
  return new Map(
    found.map((lot) => [
      lot.number,
      {
        id: lot.id,
        ingredientId: lot.ingredient_id,
        ingredientNameEn: lot.name_en,
        ingredientNameSw: lot.name_sw,
        receivedOn: dayAt(lot.received_at, timeZone),
      },
    ]),
  )
}

type Against = {
  readonly lots: ReadonlyMap<number, LotOfRow>
  readonly books: ReadonlyMap<string, BookIngredient>
  readonly today: string
  readonly headerOf: ReadRows['headerOf']
}

/** The rules of a single result, told with the row and the column. */
const checkRow = (row: RowFacts, { lots, books, today, headerOf }: Against): { row?: CheckedRow; faults: readonly RowFault[] } => {
  const lot = lots.get(row.lotNumber)
  const at = (column: 'lot' | 'value' | 'measuredOn') => ({ column, header: headerOf(column) })
  if (lot === undefined) {
    const facts = { typed: String(row.lotNumber) }
    return { faults: [rowFault(row.row, at('lot'), { code: 'lot-unknown', message: 'there is no lot of this number', facts })] }
  }
  const book = books.get(lot.ingredientId)?.book ?? []
  const result = { ...row, confirmed: false }
  const found = resultFaults(result, '', { book, today, receivedOn: lot.receivedOn })
  const unusual = found.find(({ code }) => code === 'implausible')
  const faults = found
    .filter((fault) => fault !== unusual)
    .map(({ path, code, message, facts }) =>
      rowFault(row.row, at(path.endsWith('measuredOn') ? 'measuredOn' : 'value'), {
        code,
        message,
        facts: { typed: path.endsWith('measuredOn') ? row.measuredOn : row.typed, ...(facts as RowFault['facts'] | undefined) },
      }),
    )
  if (faults.length > 0) return { faults }
  const usual = unusual === undefined ? null : { low: Number(unusual.facts?.['usualLow']), high: Number(unusual.facts?.['usualHigh']) }
  const { id: lotId, receivedOn: _day, ...names } = lot
  return { faults, row: { ...row, ...names, lotId, usual } }
}

type Determination = Pick<CheckedRow, 'lotId' | 'analyte' | 'measuredOn' | 'method' | 'laboratory'>

/** The same lot, analyte, day, method and laboratory, however they are written, are one determination; its figure is not looked at. */
const keyOf = ({ lotId, analyte, measuredOn, method, laboratory }: Omit<Determination, 'analyte'> & { analyte: string }): string =>
  [lotId, analyte, measuredOn, method.trim().toLowerCase(), laboratory.trim().toLowerCase()].join('\n')

const whole = { column: null, header: '' }
const SECOND = 'name a second determination in the method'

const repeatedInFile = (rows: readonly CheckedRow[]): RowFault[] => {
  const first = new Map<string, number>()
  return rows.flatMap((row) => {
    const key = keyOf(row)
    const other = first.get(key)
    if (other === undefined) {
      first.set(key, row.row)
      return []
    }
    const message = `the same lot, analyte, day, method and laboratory stand in row ${other}; ${SECOND}`
    return [rowFault(row.row, whole, { code: 'twice-in-file', message, facts: { other } })]
  })
}

type RecordedRow = { lot_id: string; analyte: string; measured_on: string; method: string; laboratory: string; value: number; unit: string }

/** Rows whose determination stands in the books already, corrected since or not. */
export const alreadyRecorded = async (db: Db | Tx, rows: readonly CheckedRow[]): Promise<RowFault[]> => {
  const lotIds = [...new Set(rows.map(({ lotId }) => lotId))]
  const recorded = await db.$queryRaw<RecordedRow[]>`
    SELECT lot_id, analyte, measured_on::text AS measured_on, method, laboratory, value, unit
    FROM assay WHERE lot_id = ANY(${lotIds}::uuid[])`
  const known = new Map(
    recorded.map(({ lot_id: lotId, measured_on: measuredOn, value, unit, ...rest }) => [
      keyOf({ ...rest, lotId, measuredOn }),
      `${value} ${unit}`,
    ]),
  )
  return rows.flatMap((row) => {
    const before = known.get(keyOf(row))
    if (before === undefined) return []
    const message = `recorded already, as ${before}; correct it on the page of lot ${row.lotNumber}, or ${SECOND}`
    return [rowFault(row.row, whole, { code: 'recorded', message, facts: { recorded: before, lot: row.lotNumber } })]
  })
}

/** Every row against the lots, the book and the other rows; not yet against what is recorded, which may change until the lots are held. */
export const checkFile = async (db: Db | Tx, file: ReadFile, now: Date): Promise<CheckedFile> => {
  const read = await readRows(file)
  const { timeZone } = await db.mill.findUniqueOrThrow({ where: { id: 1 }, select: { timeZone: true } })
  const { headerOf } = read
  const against = { lots: await loadLots(db, read.rows), books: await loadBook(db), today: dayAt(now, timeZone), headerOf }
  const good: CheckedRow[] = []
  const faults = [...read.faults]
  for (const [index, facts] of read.rows.entries()) {
    if (index % ROWS_AT_ONCE === 0) await setImmediate()
    const { row, faults: own } = checkRow(facts, against)
    if (row !== undefined) good.push(row)
    faults.push(...own)
  }
  faults.push(...repeatedInFile(good))
  return { ...read, rows: good, faults, fingerprint: file.fingerprint, separator: file.separator }
}

/** Without the rows that one of these faults names. */
export const withoutFaulty = (rows: readonly CheckedRow[], faults: readonly RowFault[]): CheckedRow[] => {
  const faulty = new Set(faults.map(({ row }) => row))
  return rows.filter(({ row }) => !faulty.has(row))
}
