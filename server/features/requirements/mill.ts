import type { MillView } from '#contract/mill'
import { parsePricePerKg, type PricePerKg } from '#core/quantity/money'
import { parseKg, type Grams } from '#core/quantity/mass'
import type { Db, Tx } from '#platform/database/client'
import { dayAt } from '#platform/mill-day'

/** The mill's own settings, and its date at the moment asked about. */
export type Mill = {
  readonly name: string
  readonly district: string
  readonly phone: string
  readonly currency: string
  readonly timeZone: string
  readonly jurisdiction: string
  readonly bagKg: Grams
  readonly makingChargePerKg: PricePerKg
  readonly sheetLanguage: 'en' | 'sw'
}

export const loadMill = async (db: Db | Tx): Promise<Mill> => {
  const row = await db.mill.findUniqueOrThrow({ where: { id: 1 } })
  return {
    name: row.name,
    district: row.district,
    phone: row.phone,
    currency: row.currency,
    timeZone: row.timeZone,
    jurisdiction: row.jurisdiction,
    bagKg: parseKg(row.bagKg.toFixed(3)),
    makingChargePerKg: parsePricePerKg(row.makingChargePerKg.toFixed(4)),
    sheetLanguage: row.sheetLanguage === 'en' ? 'en' : 'sw',
  }
}

/** Today where the mill stands, YYYY-MM-DD. */
export const todayAt = (mill: Mill, now: Date): string => dayAt(now, mill.timeZone)

export const millView = async (db: Db): Promise<MillView> => {
  const row = await db.mill.findUniqueOrThrow({ where: { id: 1 } })
  const { name, district, phone, currency, timeZone, jurisdiction } = row
  return {
    name,
    district,
    phone,
    currency,
    timeZone,
    jurisdiction,
    bagKg: row.bagKg.toFixed(3),
    sheetLanguage: row.sheetLanguage === 'en' ? 'en' : 'sw',
  }
}
