import type { Tx } from '#platform/database/client'

/** A lot that the mill made has no supplier but the mill: this row, which no list of suppliers shows. */
export const MILL_AS_SUPPLIER = '00000000-0000-4000-8000-000000000001'

/** For the `where` of whoever asks for a supplier that delivers. */
export const NOT_THE_MILL = { NOT: { id: MILL_AS_SUPPLIER } }

/** Its row is made with the first lot that the mill makes. */
export const makeMillSupplier = (tx: Tx, now: Date) => tx.$executeRaw`
  INSERT INTO supplier (id, name, created_at)
  SELECT ${MILL_AS_SUPPLIER}::uuid, mill.name || CASE WHEN EXISTS (SELECT FROM supplier WHERE name = mill.name) THEN ' *' ELSE '' END, ${now}
  FROM mill ON CONFLICT (id) DO NOTHING`
