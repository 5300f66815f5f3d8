import type { Db, Tx } from '#platform/database/client'

export const bagKgOfMill = async (db: Db | Tx): Promise<string> => {
  const { bagKg } = await db.mill.findUniqueOrThrow({ where: { id: 1 }, select: { bagKg: true } })
  return bagKg.toFixed(3)
}
