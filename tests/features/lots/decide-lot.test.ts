import { beforeAll, describe, expect, it } from 'vitest'
import { LotDetailView, LotView } from '#contract/lots'
import { reserveLots } from '#features/stock/ledger'
import { newId } from '#platform/new-id'
import { balanceOf, makeLot, type LotFacts } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))
const GOOD = { moisture: 12, CP: 8.2, aflatoxin_total: 4 }
const held = (facts: LotFacts = {}) => makeLot(mill.db, { status: 'on-hold', assays: GOOD, ...facts })
const findingCodes = (facts: unknown): string[] => [...JSON.stringify(facts).matchAll(/"code":"([a-z-]+)"/g)].map((match) => match[1] ?? '')

describe('releasing a lot', () => {
  it('releases a tested lot and says by whom', async () => {
    const lot = await held()
    const laboratory = await mill.as('laboratory')
    const reply = await laboratory.post(`/lots/${lot.id}/release`, {}, { revision: 1 })
    expect(reply.status).toBe(200)
    expect(reply.as(LotView)).toMatchObject({ status: 'released', decidedBy: laboratory.user.name, revision: 2 })
  })

  it.each([
    ['protein', { moisture: 12, aflatoxin_total: 4 }],
    ['moisture', { CP: 8.2, aflatoxin_total: 4 }],
  ])('blocks a lot without a result for %s, even for the manager with a reason', async (_what, assays) => {
    const lot = await held({ assays, intakeMoisturePct: 12 })
    const reply = await (await mill.as('manager')).post(`/lots/${lot.id}/release`, { reason: 'we need it' }, { revision: 1 })
    expect(reply.status).toBe(422)
    expect(reply.problem().code).toBe('safety-block')
    expect(findingCodes(reply.body)).toContain('required-test-missing')
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ status: 'on-hold' })
  })

  it('blocks an aflatoxin above the limit of rule AF-REC-04, with the figure and the source', async () => {
    // safety_rules.csv AF-REC-04: 20 ug/kg in maize lots
    const lot = await held({ assays: { ...GOOD, aflatoxin_total: 26 } })
    const reply = await (await mill.as('manager')).post(`/lots/${lot.id}/release`, { reason: 'we need it' }, { revision: 1 })
    expect(reply.problem().code).toBe('safety-block')
    expect(JSON.stringify(reply.body)).toContain('AF-REC-04')
    expect(findingCodes(reply.body)).toContain('above-limit')
  })

  it('blocks an untested groundnut cake, where the test is required', async () => {
    const lot = await held({ ingredientId: 'groundnut_cake_expeller', assays: { moisture: 7, CP: 43, urea: 0 } })
    const reply = await (await mill.as('manager')).post(`/lots/${lot.id}/release`, { reason: 'looks clean' }, { revision: 1 })
    expect(reply.problem().code).toBe('safety-block')
    expect(findingCodes(reply.body)).toContain('required-test-missing')
  })

  it('blocks a lot past its date', async () => {
    const lot = await held({ expiresOn: '2020-01-01' })
    const reply = await (await mill.as('manager')).post(`/lots/${lot.id}/release`, { reason: 'smells well' }, { revision: 1 })
    expect(reply.problem().code).toBe('safety-block')
    expect(findingCodes(reply.body)).toContain('lot-expired')
  })

  it('says that maize was not tested for aflatoxin; the manager may release it with a reason, the laboratory not', async () => {
    const lot = await held({ assays: { moisture: 12, CP: 8.2 } })
    const [manager, laboratory] = [await mill.as('manager'), await mill.as('laboratory')]
    const view = (await laboratory.get(`/lots/${lot.id}`)).as(LotDetailView)
    expect(view.findings.some(({ severity, what }) => severity === 'warn' && what.code === 'not-tested')).toBe(true)
    expect(view.mayRelease).toBe(false)
    expect((await laboratory.post(`/lots/${lot.id}/release`, { reason: 'fine' }, { revision: 1 })).problem().code).toBe('not-allowed')
    const bare = await manager.post(`/lots/${lot.id}/release`, {}, { revision: 1 })
    expect(bare.problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'reason', code: 'reason-needed' }] })
    const reply = await manager.post(`/lots/${lot.id}/release`, { reason: 'own farm, dried on the day' }, { revision: 1 })
    expect(reply.as(LotView)).toMatchObject({ status: 'released', statusReason: 'own farm, dried on the day' })
    const audit = await mill.db.auditEntry.findFirstOrThrow({ where: { entityId: lot.id, action: 'lot.released' } })
    expect(JSON.stringify(audit.facts)).toContain('own farm')
  })

  it('asks no protein of limestone', async () => {
    const lot = await held({ ingredientId: 'limestone', assays: { moisture: 0.5 } })
    const reply = await (await mill.as('laboratory')).post(`/lots/${lot.id}/release`, {}, { revision: 1 })
    expect(reply.status).toBe(200)
  })

  it('refuses a second release, a stale revision and a missing one', async () => {
    const manager = await mill.as('manager')
    const lot = await held()
    expect((await manager.post(`/lots/${lot.id}/release`, {})).problem().code).toBe('revision-missing')
    expect((await manager.post(`/lots/${lot.id}/release`, {}, { revision: 7 })).problem().code).toBe('stale-revision')
    expect((await manager.post(`/lots/${lot.id}/release`, {}, { revision: 1 })).status).toBe(200)
    expect((await manager.post(`/lots/${lot.id}/release`, {}, { revision: 2 })).problem().code).toBe('lot-not-on-hold')
    expect((await manager.post('/lots/0197a3b2-0000-7000-8000-000000000000/release', {}, { revision: 1 })).status).toBe(404)
  })

  it('lets one of two who decide at once win', async () => {
    for (let round = 0; round < 5; round += 1) {
      const lot = await held()
      const [manager, laboratory] = [await mill.as('manager'), await mill.as('laboratory')]
      const replies = await Promise.all([
        manager.post(`/lots/${lot.id}/release`, {}, { revision: 1 }),
        laboratory.post(`/lots/${lot.id}/reject`, { reason: 'weevils' }, { revision: 1 }),
      ])
      expect(replies.filter(({ status }) => status === 200)).toHaveLength(1)
      const winner = replies[0].status === 200 ? 'released' : 'rejected'
      expect((await balanceOf(mill.db, lot.id)).status).toBe(winner)
    }
  })

  it.each([['store-keeper'], ['mixer-operator'], ['counter-clerk'], ['nutritionist'], ['member']] as const)(
    'is not for a %s',
    async (role) => {
      const lot = await held()
      const agent = await mill.as(role)
      expect((await agent.post(`/lots/${lot.id}/release`, {}, { revision: 1 })).status).toBe(403)
      expect((await agent.post(`/lots/${lot.id}/reject`, { reason: 'x' }, { revision: 1 })).status).toBe(403)
      expect((await balanceOf(mill.db, lot.id)).status).toBe('on-hold')
    },
  )
})

describe('rejecting a lot', () => {
  it('needs a reason and keeps it', async () => {
    const lot = await held()
    const laboratory = await mill.as('laboratory')
    expect((await laboratory.post(`/lots/${lot.id}/reject`, { reason: ' ' }, { revision: 1 })).problem()).toMatchObject({
      errors: [{ path: 'reason' }],
    })
    const reply = await laboratory.post(`/lots/${lot.id}/reject`, { reason: 'mould' }, { revision: 1 })
    expect(reply.as(LotView)).toMatchObject({ status: 'rejected', statusReason: 'mould' })
    expect((await laboratory.post(`/lots/${lot.id}/reject`, { reason: 'mould' }, { revision: 2 })).problem().code).toBe('wrong-state')
    expect((await laboratory.post(`/lots/${lot.id}/release`, {}, { revision: 2 })).problem().code).toBe('lot-not-on-hold')
  })

  it('takes a released lot too, and opens a discrepancy when some of it is set aside', async () => {
    const lot = await makeLot(mill.db, { netKg: '100' })
    const manager = await mill.as('manager')
    const movement = { id: newId(), happenedAt: new Date(), actorId: manager.user.id }
    await mill.db.$transaction((tx) => reserveLots(tx, { ...movement, lines: [{ lotId: lot.id, kg: '40' }], today: '2026-11-25' }))
    const reply = await manager.post(`/lots/${lot.id}/reject`, { reason: 'second test bad' }, { revision: 1 })
    expect(reply.as(LotView)).toMatchObject({ status: 'rejected', reservedKg: '40.000' })
    const discrepancy = await mill.db.discrepancy.findFirstOrThrow({ where: { lotId: lot.id } })
    expect(discrepancy).toMatchObject({ kind: 'rejected-lot-reserved', facts: { reservedKg: '40.000' }, closedAt: null })
  })
})
