/** Whole bags in an amount, or the two nearest amounts that are whole bags. Kilograms with at most three decimals. */
export type BagCount =
  { readonly kind: 'whole'; readonly bags: number } | { readonly kind: 'between'; readonly lowerKg: number; readonly upperKg: number }

export const countBags = (kg: string, bagKg: number): BagCount => {
  const grams = Math.round(Number(kg) * 1000)
  const bagGrams = bagKg * 1000
  const bags = Math.floor(grams / bagGrams)
  if (grams === bags * bagGrams) return { kind: 'whole', bags }
  return { kind: 'between', lowerKg: bags * bagKg, upperKg: (bags + 1) * bagKg }
}
