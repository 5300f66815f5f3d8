/**
 * What stands on the label of a lot's sample: the lot's own number, so that nobody has to look one number up by another, after a letter
 * that keeps it from being read as a lot.
 */
export const sampleLabel = (lotNumber: number): string => `S-${lotNumber}`

/** "S-47", "s 47" or "47" as it is scanned or typed; undefined when it is no label. */
export const lotOfSample = (typed: string): number | undefined => {
  const digits = /^\s*(?:s[\s-]*)?(\d{1,9})\s*$/i.exec(typed)?.[1]
  return digits === undefined ? undefined : Number(digits)
}
