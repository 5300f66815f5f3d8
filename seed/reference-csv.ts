import { readFileSync, existsSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parse } from 'csv-parse/sync'

export type Cells = Readonly<Record<string, string>>

/** The folder of the project: the nearest one upwards that holds package.json, from the TypeScript as from dist. */
const projectFolder = (): string => {
  let folder = dirname(fileURLToPath(import.meta.url))
  while (!existsSync(join(folder, 'package.json'))) {
    const parent = dirname(folder)
    if (parent === folder) throw new Error('seed/reference was not found: no package.json above this file')
    folder = parent
  }
  return folder
}

export const referencePath = (file: string): string => join(projectFolder(), 'seed', 'reference', file)
export const readReferenceText = (file: string): string => readFileSync(referencePath(file), 'utf8')

/** All rows of one table. A row with too many or too few cells, or a missing column, stops the reading. */
export const readTable = (file: string, columns: readonly string[]): Cells[] => {
  const rows: Cells[] = parse(readReferenceText(file), { columns: true, relax_column_count: false })
  const first = rows[0]
  if (!first) throw new Error(`${file} has no rows`)
  const missing = columns.filter((column) => !(column in first))
  if (missing.length > 0) throw new Error(`${file} lacks the columns ${missing.join(', ')}`)
  return rows
}

/** The text of a cell; an unknown column is a fault, an empty cell is the empty text. */
export const textOf = (row: Cells, column: string): string => {
  const text = row[column]
  if (text === undefined) throw new Error(`column ${column} is missing`)
  return text.trim()
}

/** The number of a cell, or undefined when the cell is empty (unknown); anything else stops the reading. */
export const numberOf = (row: Cells, column: string): number | undefined => {
  const text = textOf(row, column)
  if (text === '') return undefined
  const value = Number(text)
  if (!Number.isFinite(value)) throw new Error(`column ${column}: "${text}" is not a number`)
  return value
}

export const oneOf = <T extends string>(row: Cells, column: string, allowed: readonly T[]): T => {
  const text = textOf(row, column)
  const found = allowed.find((word) => word === text)
  if (found === undefined) throw new Error(`column ${column}: "${text}" is none of ${allowed.join(', ')}`)
  return found
}

export const isRead = (row: Cells): boolean => oneOf(row, 'seen', ['read', 'memory']) === 'read'
