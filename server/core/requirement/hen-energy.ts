/** One laying hen on one day. */
export type HenDay = {
  readonly weightKg: number
  readonly temperatureC: number
  /** Grams gained a day; may be below zero. */
  readonly gainG: number
  /** Grams of egg a day: the weight of an egg times the eggs a hen and day. */
  readonly eggMassG: number
}

/** The temperatures for which the equation is taken to hold; it falls with warmth all the way, which no hen's need does. From memory. */
export const HEN_ENERGY_FROM_C = 0
export const HEN_ENERGY_TO_C = 35

/**
 * Metabolisable energy that a laying hen needs in a day, kcal: W^0.75 (173 - 1.95 T) + 5.5 dW + 2.07 E, with W in kilograms, T in degrees
 * Celsius, dW and E in grams a day (NRC 1994, from memory). Null outside 0 to 35 degrees, or for a weight, gain or egg mass that no hen has.
 */
export function henEnergyKcal({ weightKg, temperatureC, gainG, eggMassG }: HenDay): number | null {
  const possible = weightKg > 0 && weightKg <= 6 && Math.abs(gainG) <= 50 && eggMassG >= 0 && eggMassG <= 90
  if (!possible || temperatureC < HEN_ENERGY_FROM_C || temperatureC > HEN_ENERGY_TO_C) return null
  const energy = weightKg ** 0.75 * (173 - 1.95 * temperatureC) + 5.5 * gainG + 2.07 * eggMassG
  // a hen that wastes away so fast that she would need no feed is none that the equation knows
  return energy > 0 ? energy : null
}
