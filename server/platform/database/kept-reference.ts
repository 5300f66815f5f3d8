import type { Db, Tx } from './client.js'

type Mark = { readonly mark: string }

/**
 * Changes whenever a row of the published tables is written or removed: which transactions wrote the rows that there are, and how many each.
 * One or two milliseconds, where reading the tables takes fifty (measured); it sees what its own transaction wrote.
 */
const loadMark = async (db: Db | Tx): Promise<string> => {
  const [row] = await db.$queryRaw<Mark[]>`
    SELECT concat((SELECT oid FROM pg_database WHERE datname = current_database()), string_agg(written, '' ORDER BY written)) AS mark
    FROM (
      SELECT concat(' i', xmin, ':', count(*)) AS written FROM ingredient GROUP BY xmin
      UNION ALL SELECT concat(' v', xmin, ':', count(*)) FROM ingredient_value GROUP BY xmin
      UNION ALL SELECT concat(' s', xmin, ':', count(*)) FROM safety_rule GROUP BY xmin
      UNION ALL SELECT concat(' c', xmin, ':', count(*)) FROM coccidiostat GROUP BY xmin
      UNION ALL SELECT concat(' e', xmin, ':', count(*)) FROM assay_error GROUP BY xmin
    ) AS by_transaction`
  if (row === undefined) throw new Error('the database did not answer')
  return row.mark
}

/**
 * Reads what depends on the published tables alone (ingredients and their book, safety rules, coccidiostats, errors of analysis), and keeps it
 * in the process for as long as no row of them changes. What is kept is shared: nobody may change it.
 */
export const keepReference = <T>(load: (db: Db | Tx) => Promise<T>): ((db: Db | Tx) => Promise<T>) => {
  let kept: { readonly mark: string; readonly value: T } | undefined
  return async (db) => {
    const mark = await loadMark(db)
    if (kept?.mark === mark) return kept.value
    const value = await load(db)
    // what was read while somebody wrote belongs to neither mark
    if ((await loadMark(db)) === mark) kept = { mark, value }
    return value
  }
}
