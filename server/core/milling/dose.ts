/** A medicated premix in feed: how strong it is and how much of it goes into a tonne. */
export type Dosing = { readonly strengthPct: number; readonly gramsPerTonne: number }

/** Milligrams of the active substance in a kilogram of feed: 12 % at 500 g/t is 60 mg/kg. */
export const doseMgPerKg = ({ strengthPct, gramsPerTonne }: Dosing): number => (strengthPct * gramsPerTonne) / 100

/** Grams of the premix for so many kilograms of feed: 500 g/t in 70 kg is 35 g. */
export const premixGrams = ({ gramsPerTonne }: Pick<Dosing, 'gramsPerTonne'>, feedKg: number): number => (gramsPerTonne * feedKg) / 1000
