import type { z } from 'zod'
import { CheckImportBody, ImportCheckView, type ImportResultView } from '#contract/laboratory'
import { query } from '#platform/query'
import { alreadyRecorded, checkFile, withoutFaulty, type CheckedRow } from './import-checks.js'
import { readFile } from './import-file.js'

const SEPARATOR_NAMES = { ',': 'comma', ';': 'semicolon', '\t': 'tab' } as const

const resultView = ({ lotId, ...row }: CheckedRow): z.output<typeof ImportResultView> => ({ lotId, ...row })

/** What would become of each row of a file of results; nothing is kept. */
export const checkImport = query({
  roles: ['laboratory', 'manager'],
  input: CheckImportBody,
  output: ImportCheckView,
  async run({ db, now }, { parts, page, perPage }) {
    const file = await checkFile(db, await readFile(parts), now)
    const faults = [...file.faults, ...(await alreadyRecorded(db, file.rows))].sort((one, other) => one.row - other.row)
    const good = withoutFaulty(file.rows, faults)
    const unusual = good.filter(({ usual }) => usual !== null)
    const paged = <Row>(rows: readonly Row[]): Row[] => rows.slice((page - 1) * perPage, page * perPage)
    return {
      fingerprint: file.fingerprint,
      separator: SEPARATOR_NAMES[file.separator],
      decimalSign: file.decimalSign,
      ignoredColumns: [...file.ignored],
      rows: file.written,
      good: good.length,
      unusual: unusual.length,
      faulty: new Set(faults.map(({ row }) => row)).size,
      faults: faults.length,
      lots: new Set(good.map(({ lotId }) => lotId)).size,
      page,
      perPage,
      faultRows: paged(faults).map((fault) => ({ ...fault, facts: { ...fault.facts } })),
      unusualRows: paged(unusual).map(resultView),
      goodRows: paged(good).map(resultView),
    }
  },
})
