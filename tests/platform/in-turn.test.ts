import { expect, test } from 'vitest'
import { inTurn } from '#platform/in-turn'

/** Work that ends when it is told to, and remembers when it began. */
function works(turn: ReturnType<typeof inTurn>, count: number) {
  const begun: number[] = []
  const ends: (() => void)[] = []
  const all = Array.from({ length: count }, (_, i) =>
    turn(async () => {
      begun.push(i)
      await new Promise<void>((end) => (ends[i] = end))
      return i
    }),
  )
  return { begun, end: (i: number) => ends[i]?.(), all }
}
const settled = () => new Promise((resolve) => setImmediate(resolve))

test('no more than so many run at once, the others in the order in which they came', async () => {
  const { begun, end, all } = works(inTurn(2), 4)
  await settled()
  expect(begun).toEqual([0, 1])
  end(1)
  await settled()
  expect(begun).toEqual([0, 1, 2])
  for (const i of [0, 2]) end(i)
  await settled()
  end(3)
  expect(await Promise.all(all)).toEqual([0, 1, 2, 3])
})

test('work that fails leaves its turn to the next, and a free turn is taken at once', async () => {
  const turn = inTurn(1)
  const failing = turn(() => Promise.reject(new Error('broken')))
  const next = turn(() => Promise.resolve('next'))
  await expect(failing).rejects.toThrow('broken')
  expect(await next).toBe('next')
  expect(await turn(() => Promise.resolve('later'))).toBe('later')
})
