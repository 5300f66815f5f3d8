import type { LotComposition } from '../composition/compose-lot.js'
import type { Amount } from './limit-check.js'

/** Amounts that a lot rule can ask for; undefined: not tested. */
type Reader = (lot: LotComposition) => Amount | undefined

const contaminant = (lot: LotComposition, id: keyof LotComposition['contaminants']): Amount | undefined => {
  const found = lot.contaminants[id]
  if (!found) return undefined
  const { value, unit, knownBy } = found
  if (found.atLeast) return { low: value, high: null, unit, knownBy, seen: true }
  return { low: knownBy === 'below-detection' ? 0 : value, high: value, unit, knownBy }
}

/** B1 is part of the total: it is no more than the total, and the total is no less than B1. */
const aflatoxinB1: Reader = (lot) => {
  const total = contaminant(lot, 'aflatoxin_total')
  return contaminant(lot, 'aflatoxin_B1') ?? (total && { low: 0, high: total.high, unit: total.unit, knownBy: total.knownBy })
}
const aflatoxinTotal: Reader = (lot) => {
  const [b1, total] = [contaminant(lot, 'aflatoxin_B1'), contaminant(lot, 'aflatoxin_total')]
  if (!total) return b1 && { ...b1, high: null }
  if (!b1) return total
  const high = b1.high === null || total.high === null ? null : Math.max(b1.high, total.high)
  return { ...total, low: Math.max(b1.low, total.low), high }
}

const moisture: Reader = ({ measuredMoisturePct }) =>
  measuredMoisturePct === null ? undefined : { low: measuredMoisturePct, high: measuredMoisturePct, unit: '%', knownBy: 'measured' }

/** Chloride is 35.453 / 58.443 of salt (atomic weights). */
const CHLORIDE_OF_SALT = 35.453 / 58.443
const salt: Reader = ({ values, measured }) => {
  // A result is compared as the laboratory wrote it, not as the belief that it moved.
  const Cl = measured.Cl && !measured.Cl.belowDetection ? { value: measured.Cl.value, knownBy: 'measured' as const } : values.Cl
  if (Cl.value === null) return undefined
  const saltPct = Cl.value / CHLORIDE_OF_SALT
  return { low: saltPct, high: saltPct, unit: '%', knownBy: Cl.knownBy }
}

const READERS: Readonly<Record<string, Reader>> = {
  'aflatoxin B1': aflatoxinB1,
  'total aflatoxins': aflatoxinTotal,
  moisture,
  'salt in dried small fish or fish meal': salt,
  'acid-insoluble ash (sand) in dried small fish': (lot) => contaminant(lot, 'AIA'),
}

export const isLotItem = (item: string): boolean => item in READERS
/** The amount of a rule's item in a lot; undefined when it was not tested. */
export const amountInLot = (item: string, lot: LotComposition): Amount | undefined => READERS[item]?.(lot)
export const isAflatoxin = (item: string): boolean => item === 'aflatoxin B1' || item === 'total aflatoxins'

/**
 * EU limits are at 12 % moisture (standards.README.md): the limit as-fed is the printed one times dry matter / 88.
 * With an unknown dry matter the printed limit is used.
 */
export const basisScale = (basis: string, dryMatterPct: number | null): number =>
  basis === '12 % moisture' && dryMatterPct !== null ? dryMatterPct / 88 : 1
