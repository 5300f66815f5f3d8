import { beforeAll, expect, it } from 'vitest'
import { OrderView } from '#contract/orders'
import { prepareMill } from '../../support/builders/mill.js'
import { makeVersion } from '../../support/builders/formulas.js'
import { makeFlock } from '../../support/builders/members.js'
import { dayFromNow } from '../../support/builders/days.js'
import { openMill, type SignedIn } from '../../support/mill.js'

const mill = await openMill()
let member: SignedIn
beforeAll(async () => {
  await prepareMill(mill.db)
  const { id: formulaVersionId } = await makeVersion(mill.db, { nameEn: 'Layer mash' })
  member = await mill.as('member')
  const { id: flockId } = await makeFlock(mill.db, { memberId: member.user.memberId ?? '', birds: 200 })
  for (const days of [2, 5, 9]) {
    expect((await member.post('/orders', { flockId, formulaVersionId, kg: '200', dueOn: dayFromNow(days) })).status).toBe(201)
  }
})

it('lists the orders that are collected on a day or before it', async () => {
  const days = async (dueBy: string) =>
    (await member.get(`/orders?sort=dueOn&order=asc&dueBy=${dueBy}`)).as(OrderView.array()).map(({ dueOn }) => dueOn)
  expect(await days(dayFromNow(5))).toEqual([dayFromNow(2), dayFromNow(5)])
  expect(await days(dayFromNow(1))).toEqual([])
})

it('refuses a day that is none', async () => {
  expect(await member.get('/orders?dueBy=2026-02-30')).toMatchObject({
    status: 400,
    body: { code: 'bad-input', errors: [{ path: 'dueBy' }] },
  })
})
