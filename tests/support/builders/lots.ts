import { receiveIntoStock } from '#features/stock/ledger'
import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { createUser } from '../users.js'
import { makeSupplier } from './suppliers.js'

export type LotFacts = {
  readonly ingredientId?: string
  readonly supplierId?: string
  readonly receivedBy?: string
  readonly netKg?: string
  readonly noteKg?: string
  readonly pricePerKg?: string
  readonly status?: 'on-hold' | 'released' | 'rejected'
  readonly expiresOn?: string | null
  readonly intakeMoisturePct?: number | null
  readonly medicationDeclared?: boolean
  readonly medication?: { readonly active: string; readonly strengthPct: number } | null
  readonly receivedAt?: Date
  /** Results as the laboratory would record them: aflatoxins in ug/kg, urea 0 for a clean strip, all else in per cent. */
  readonly assays?: { readonly [analyte: string]: number }
}
export type BuiltLot = { readonly id: string; readonly number: number; readonly supplierId: string; readonly ingredientId: string }

const unitOf = (analyte: string): string => (analyte.startsWith('aflatoxin') ? 'ug/kg' : '%')

/** A lot in the store, received through the ledger; released and analysed as the facts say. Needs `prepareMill` first. */
export const makeLot = async (db: Db, facts: LotFacts = {}): Promise<BuiltLot> => {
  const supplierId = facts.supplierId ?? (await makeSupplier(db)).id
  const receivedBy = facts.receivedBy ?? (await createUser(db, { role: 'store-keeper' })).id
  const now = facts.receivedAt ?? new Date()
  const status = facts.status ?? 'released'
  const netKg = facts.netKg ?? '1000.000'
  const id = newId()
  return db.$transaction(async (tx) => {
    const lot = await tx.lot.create({
      data: {
        id,
        ingredientId: facts.ingredientId ?? 'maize_white',
        supplierId,
        receivedAt: now,
        receivedBy,
        netKg,
        noteKg: facts.noteKg ?? null,
        pricePerKg: facts.pricePerKg ?? '40.0000',
        intakeMoisturePct: facts.intakeMoisturePct ?? null,
        expiresOn: facts.expiresOn ? new Date(`${facts.expiresOn}T00:00:00Z`) : null,
        medicationDeclared: facts.medicationDeclared ?? (facts.medication ?? null) !== null,
        medicationActive: facts.medication?.active ?? null,
        medicationStrengthPct: facts.medication?.strengthPct ?? null,
        status,
        ...(status === 'on-hold' ? {} : { decidedBy: receivedBy, decidedAt: now, statusReason: 'built for a test' }),
      },
    })
    await receiveIntoStock(tx, { id: newId(), lotId: id, supplierId, kg: netKg, happenedAt: now, actorId: receivedBy })
    const assays = Object.entries(facts.assays ?? {}).map(([analyte, value]) => ({
      id: newId(),
      lotId: id,
      analyte,
      value,
      unit: unitOf(analyte),
      method: 'test method',
      laboratory: 'Test laboratory',
      measuredOn: now,
      recordedAt: now,
      recordedBy: receivedBy,
    }))
    await tx.assay.createMany({ data: assays })
    return { id, number: lot.number, supplierId, ingredientId: lot.ingredientId }
  })
}

/** Invented: maize that may enter every feed. */
export const GOOD_MAIZE = { moisture: 12, CP: 8.2, aflatoxin_total: 2 }
/** White maize that came yesterday and was tested. */
export const makeMaize = (db: Db, netKg: string, facts: LotFacts = {}): Promise<BuiltLot> =>
  makeLot(db, { netKg, assays: GOOD_MAIZE, receivedAt: new Date(Date.now() - 86_400_000), ...facts })

/** What the books say of a lot. */
export const balanceOf = async (db: Db, lotId: string): Promise<{ onHandKg: string; reservedKg: string; status: string }> => {
  const lot = await db.lot.findUniqueOrThrow({ where: { id: lotId } })
  return { onHandKg: lot.onHandKg.toFixed(3), reservedKg: lot.reservedKg.toFixed(3), status: lot.status }
}
