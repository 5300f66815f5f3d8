import { expect, test } from 'vitest'
import { SessionView } from '#contract/access'
import { openMill } from '../support/mill.js'

const mill = await openMill()

test('a manager signs in and is known at the next request', async () => {
  const manager = await mill.as('manager')
  const reply = await manager.get('/session')
  expect(reply.status).toBe(200)
  expect(reply.as(SessionView).user).toMatchObject({ id: manager.user.id, role: 'manager' })
})
