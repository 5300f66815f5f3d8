import { beforeAll, describe, expect, it } from 'vitest'
import { FlockView, MemberView } from '#contract/members'
import { makeFlock, makeMember } from '../../support/builders/members.js'
import { prepareMill } from '../../support/builders/mill.js'
import { dayFromNow } from '../../support/builders/days.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

const memberBody = { name: 'Achieng Otieno', phone: '+254700000012', village: 'Kilima', language: 'sw' }
const flockBody = { name: 'Hens', flockType: 'layer', hatchedOn: dayFromNow(-210), birds: 200, laying: true }

describe('members', () => {
  it('are added by the counter, with their own number', async () => {
    const member = (await (await mill.as('counter-clerk')).post('/members', memberBody)).as(MemberView)
    expect(member).toMatchObject({ name: 'Achieng Otieno', village: 'Kilima', flocks: 0, openOrders: 0 })
    expect(member.number).toBeGreaterThan(0)
    const found = await (await mill.as('manager')).get('/members', { q: 'achieng' })
    expect(found.as(MemberView.array()).map(({ id }) => id)).toEqual([member.id])
  })

  it('are refused without a name, with a phone number that is none, and by other roles', async () => {
    const clerk = await mill.as('counter-clerk')
    const before = await mill.db.member.count()
    expect((await clerk.post('/members', { ...memberBody, name: ' ' })).problem().errors?.[0]?.path).toBe('name')
    expect((await clerk.post('/members', { ...memberBody, phone: '0700' })).problem().errors?.[0]?.path).toBe('phone')
    expect((await clerk.post('/members', { ...memberBody, number: 1 })).problem().code).toBe('bad-input')
    for (const role of ['member', 'store-keeper', 'laboratory', 'mixer-operator', 'nutritionist'] as const) {
      await mill.as(role)
    }
    const after = await mill.db.member.count()
    for (const role of ['member', 'store-keeper', 'laboratory', 'mixer-operator', 'nutritionist'] as const) {
      expect((await (await mill.as(role)).post('/members', memberBody)).problem().code).toBe('not-allowed')
    }
    expect(after).toBe(before + 1) // the row of the member who signed in
    expect(await mill.db.member.count()).toBe(after)
  })

  it('see only themselves', async () => {
    const other = await makeMember(mill.db)
    const member = await mill.as('member')
    expect((await member.get('/members')).as(MemberView.array()).map(({ id }) => id)).toEqual([member.user.memberId])
    expect((await member.get(`/members/${other.id}`)).problem().code).toBe('not-found')
    expect((await member.get(`/members/${member.user.memberId}`)).status).toBe(200)
  })
})

describe('flocks', () => {
  it('know their stage by age and lay on the day of the mill', async () => {
    const member = await mill.as('member')
    const flock = (await member.post('/flocks', flockBody)).as(FlockView)
    expect(flock).toMatchObject({ memberId: member.user.memberId, stage: 'layer_peak', ageWeeks: 30, birds: 200 })
    const chicks = (await member.post('/flocks', { ...flockBody, hatchedOn: dayFromNow(-21), laying: false })).as(FlockView)
    expect(chicks).toMatchObject({ stage: 'layer_chick_0_6wk', ageWeeks: 3, ageDays: 21 })
  })

  it('are refused when hatched tomorrow, without birds, or in lay too young', async () => {
    const member = await mill.as('member')
    const before = await mill.db.flock.count()
    const wrong = [
      { facts: { hatchedOn: dayFromNow(2) }, path: 'hatchedOn' },
      { facts: { hatchedOn: '1999-01-01' }, path: 'hatchedOn' },
      { facts: { birds: 0 }, path: 'birds' },
      { facts: { birds: -3 }, path: 'birds' },
      { facts: { birds: 1e9 }, path: 'birds' },
      { facts: { flockType: 'ostrich' }, path: 'flockType' },
      { facts: { hatchedOn: dayFromNow(-30) }, path: 'laying' },
      { facts: { flockType: 'broiler' }, path: 'laying' },
    ]
    for (const { facts, path } of wrong) {
      const reply = await member.post('/flocks', { ...flockBody, ...facts })
      expect(reply.status).toBe(400)
      expect(reply.problem().errors?.[0]?.path).toBe(path)
    }
    expect(await mill.db.flock.count()).toBe(before)
  })

  it('are added for a member by the counter, never by a member for another', async () => {
    const other = await makeMember(mill.db)
    const clerk = await mill.as('counter-clerk')
    expect((await clerk.post('/flocks', { ...flockBody, memberId: other.id })).as(FlockView).memberId).toBe(other.id)
    expect((await clerk.post('/flocks', flockBody)).problem().errors?.[0]?.path).toBe('memberId')
    expect((await (await mill.as('member')).post('/flocks', { ...flockBody, memberId: other.id })).problem().errors?.[0]?.path).toBe(
      'memberId',
    )
    expect((await (await mill.as('laboratory')).post('/flocks', flockBody)).problem().code).toBe('not-allowed')
  })

  it('of others are not there for a member, on any route', async () => {
    const member = await mill.as('member')
    const theirs = await makeFlock(mill.db)
    expect((await member.get(`/flocks/${theirs.id}`)).problem().code).toBe('not-found')
    const change = { birds: 5, laying: true, name: 'Mine now' }
    expect((await member.patch(`/flocks/${theirs.id}`, change, { revision: 1 })).problem().code).toBe('not-found')
    expect((await member.get('/flocks')).as(FlockView.array()).every(({ memberId }) => memberId === member.user.memberId)).toBe(true)
    expect((await member.get('/flocks', { memberId: theirs.memberId })).as(FlockView.array())).toEqual([])
    expect((await mill.db.flock.findUniqueOrThrow({ where: { id: theirs.id } })).name).not.toBe('Mine now')
  })

  it('change by their revision only', async () => {
    const member = await mill.as('member')
    const flock = (await member.post('/flocks', flockBody)).as(FlockView)
    const change = { birds: 180, laying: true, name: 'Hens after the fox' }
    expect((await member.patch(`/flocks/${flock.id}`, change, { revision: flock.revision })).as(FlockView)).toMatchObject({
      birds: 180,
      revision: 2,
    })
    expect((await member.patch(`/flocks/${flock.id}`, change, { revision: flock.revision })).problem().code).toBe('stale-revision')
    expect((await member.patch(`/flocks/${flock.id}`, change)).problem().code).toBe('revision-missing')
  })
})
