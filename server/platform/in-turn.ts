/** Runs work a few at a time, the others in the order in which they came. */
export type InTurn = <T>(work: () => Promise<T>) => Promise<T>

/** At most `most` at once. Work must not ask for another turn inside its own: with one turn it would wait for itself. */
export const inTurn = (most: number): InTurn => {
  let running = 0
  const waiting: (() => void)[] = []
  return async (work) => {
    if (running < most) running += 1
    else await new Promise<void>((start) => waiting.push(start))
    try {
      return await work()
    } finally {
      const next = waiting.shift()
      // whose turn it is takes over the place that this one leaves
      if (next === undefined) running -= 1
      else next()
    }
  }
}
