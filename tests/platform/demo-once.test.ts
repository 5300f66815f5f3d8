import { expect, test } from 'vitest'
import { loadDemoOnce, type Seed } from '#server/demo'
import { openMill } from '../support/mill.js'
import { createUser } from '../support/users.js'

const trying = async (seedAll: Seed['seedAll']) => {
  const mill = await openMill()
  let calls = 0
  const seed: Seed = {
    seedAll: async (db, options) => {
      calls += 1
      await seedAll(db, options)
    },
  }
  const load = () =>
    loadDemoOnce({ ownerUrl: mill.ownerUrl, deps: mill.deps, loading: mill.deps, seed, password: 'maize and sun', say: () => undefined })
  return { mill, load, calls: () => calls }
}

const plant = await trying(async (db) => void (await createUser(db, { role: 'manager' })))
const fail = await trying(async (db) => {
  await createUser(db, { role: 'manager' })
  throw new Error('the light went out')
})
const own = await trying(async () => undefined)

test('of several processes that start together one loads the demo, once', async () => {
  expect((await Promise.all([plant.load(), plant.load(), plant.load()])).sort()).toEqual([false, false, true])
  expect(await plant.load()).toBe(false)
  expect(plant.calls()).toBe(1)
  expect(await plant.mill.db.appUser.count()).toBe(1)
})

test('a demo that was interrupted is not taken for a whole one', async () => {
  await expect(fail.load()).rejects.toThrow('the light went out')
  await expect(fail.load()).rejects.toThrow('interrupted')
  expect(fail.calls()).toBe(1)
})

test("somebody's own mill gets no demo", async () => {
  await createUser(own.mill.db, { role: 'manager' })
  expect(await own.load()).toBe(false)
  expect(own.calls()).toBe(0)
})
