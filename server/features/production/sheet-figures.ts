import { grams, type Grams } from '#core/quantity/mass'

export type Scale = { readonly name: 'floor' | 'table'; readonly stepGrams: number }

const NBSP = '\u00a0'
const grouped = (whole: number): string => String(whole).replace(/\B(?=(\d{3})+$)/g, ',')

// The decimals that the scale's own display has: a step of 100 g shows 0.1 kg, one of 20 g shows 0.01 kg, one of 1 kg none.
const decimalsOf = (stepGrams: number): number => (stepGrams % 1000 === 0 ? 0 : stepGrams % 100 === 0 ? 1 : stepGrams % 10 === 0 ? 2 : 3)

const atStep = (mass: Grams, { name, stepGrams }: Scale): string => {
  if (name === 'table') return grouped(mass)
  const decimals = decimalsOf(stepGrams)
  // What is no multiple of the step (an odd last gram) is shown with all its decimals, never rounded away.
  const places = mass % 10 ** (3 - decimals) === 0 ? decimals : 3
  const fraction =
    places === 0
      ? ''
      : `.${String(mass % 1000)
          .padStart(3, '0')
          .slice(0, places)}`
  return `${grouped(Math.trunc(mass / 1000))}${fraction}`
}

/** A mass as the scale's display shows it: "82.0 kg" on the floor scale, "1,250 g" on the table scale. */
export const figureOf = (mass: Grams, scale: Scale): string => `${atStep(mass, scale)}${NBSP}${scale.name === 'table' ? 'g' : 'kg'}`

/** The same without its unit, for columns that say it once. */
export const bareFigureOf = (mass: Grams, scale: Scale): string => atStep(mass, scale)

/** An allowed range rounded inwards to what the scale can show; where no step lies inside it stays as it is. */
export const allowedOf = (low: Grams, high: Grams, scale: Scale): string => {
  const inLow = grams(Math.ceil(low / scale.stepGrams) * scale.stepGrams)
  const inHigh = grams(Math.floor(high / scale.stepGrams) * scale.stepGrams)
  const [from, to] = inLow <= inHigh ? [inLow, inHigh] : [low, high]
  return `${atStep(from, scale)}${NBSP}\u2013${NBSP}${atStep(to, scale)}`
}

/** How many whole sacks of a lot go in, and what is weighed besides. A sack weighs net / bags of its delivery, to the gram. */
export const sacksOf = (
  target: Grams,
  lot: { readonly net: Grams; readonly bags: number | null },
): { readonly sacks: number; readonly loose: Grams } => {
  const sack = lot.bags === null ? 0 : Math.round(lot.net / lot.bags)
  const sacks = sack > 0 ? Math.floor(target / sack) : 0
  return { sacks, loose: grams(target - sacks * sack) }
}
