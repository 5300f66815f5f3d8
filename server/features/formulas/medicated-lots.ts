import type { FormulaLimits } from '#core/formulation/limits'
import { mustDeclareMedication } from '#core/safety/lot-duties'
import { activeKey } from '#core/safety/medication'
import type { MixLot } from '#features/lots/lots-for-mix'

export type Medication = { readonly active: string; readonly mgPerKg: number; readonly ingredientId: string }

/** 1 % of a premix is 10,000 mg of the active in a kilogram of it. */
const MG_PER_KG_AT_1_PCT = 10_000

/** Per cent of the feed that a premix of a strength is at a dose: 60 mg/kg with a premix of 12 % is 0.05 %. */
export const inclusionPct = (mgPerKg: number, strengthPct: number): number => (100 * mgPerKg) / (strengthPct * MG_PER_KG_AT_1_PCT)

/** In the problem the medicated lots are an ingredient of their own, so that the same premix without medicine keeps its own limits. */
const PREFIX = 'medicine/'
export const medicineKey = (ingredientId: string): string => `${PREFIX}${ingredientId}`
/** The ingredient that such a key stands for; null for an ordinary ingredient. */
export const ingredientOfMedicine = (key: string): string | null => (key.startsWith(PREFIX) ? key.slice(PREFIX.length) : null)

export type Allowed = { readonly lots: readonly MixLot[]; readonly medicated: readonly MixLot[]; readonly limits: FormulaLimits }

/**
 * The lots that may enter a mix and the limits with the dose in them. Without medication no lot with medicine enters; with it only lots of
 * the named premix with the named active, and of those one strength (that of which most is free), at the fixed share that gives the dose.
 */
export const allowLots = (lots: readonly MixLot[], limits: FormulaLimits, medication: Medication | null): Allowed => {
  const plain = lots.filter((lot) => lot.medication === null)
  const withMedicine = lots.filter((lot) => lot.medication !== null)
  if (medication === null) return { lots: plain, medicated: withMedicine, limits }
  const fitting = withMedicine.filter(
    (lot) =>
      lot.ingredientId === medication.ingredientId &&
      lot.medication !== null &&
      activeKey(lot.medication.active) === activeKey(medication.active),
  )
  const freeAt = (strengthPct: number): number =>
    fitting.reduce((sum, lot) => (lot.medication?.strengthPct === strengthPct ? sum + Number(lot.freeKg) : sum), 0)
  const [strengthPct] = [...new Set(fitting.flatMap((lot) => lot.medication?.strengthPct ?? []))].sort(
    (a, b) => freeAt(b) - freeAt(a) || b - a,
  )
  const used = fitting.filter((lot) => lot.medication?.strengthPct === strengthPct)
  // Without any such lot the share is that of a premix of 10 %: whatever it is, no lot can give it, and the answer names the ingredient.
  const pct = inclusionPct(medication.mgPerKg, strengthPct ?? 10)
  const dose = { ingredientId: medicineKey(medication.ingredientId), minPct: pct, maxPct: pct }
  return {
    lots: [...plain, ...used],
    medicated: withMedicine.filter((lot) => !used.includes(lot)),
    limits: { ...limits, ingredients: [...limits.ingredients, dose] },
  }
}

/** Bought premixes and concentrates whose label says nothing of medicine: any of them may hold some. */
export const isUndeclared = ({ composition, medicationDeclared }: MixLot): boolean =>
  mustDeclareMedication(composition) && !medicationDeclared
