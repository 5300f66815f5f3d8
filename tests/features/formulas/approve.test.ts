import { beforeAll, describe, expect, it } from 'vitest'
import type { z } from 'zod'
import { FormulaView, type LimitsBody, MixView, VersionView } from '#contract/formulas'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLayerLots } from '../../support/builders/orders.js'
import { LAYER_LIMITS, limitsOf } from '../../support/builders/formulas.js'
import { openMill, type SignedIn } from '../../support/mill.js'
import { PASSWORD } from '../../support/users.js'

const mill = await openMill()
beforeAll(async () => {
  await prepareMill(mill.db)
  await makeLayerLots(mill.db, { maize_white: '20000.000', soybean_meal_44: '20000.000' })
})

let names = 0
const submittedBy = async (
  author: SignedIn,
  nutrients: LimitsBody['nutrients'] = LAYER_LIMITS.nutrients,
  formulaId?: string,
): Promise<z.output<typeof VersionView>> => {
  const body = { nameEn: `Feed for approval ${(names += 1)}`, nameSw: 'Chakula', stage: 'layer_peak', requirementSource: 'REC' }
  const begun = formulaId === undefined ? await author.post('/formulas', body) : await author.post(`/formulas/${formulaId}/versions`)
  const draft = begun.as(VersionView)
  const change = { limits: limitsOf({ nutrients }), medication: null, note: 'for the test' }
  const changed = (await author.patch(`/formula-versions/${draft.id}`, change, { revision: draft.revision })).as(VersionView)
  return (await author.post(`/formula-versions/${draft.id}/submit`, {}, { revision: changed.revision })).as(VersionView)
}
const approve = (agent: SignedIn, version: { id: string; revision: number }, password = PASSWORD) =>
  agent.post(`/formula-versions/${version.id}/approve`, { password }, { revision: version.revision })

describe('approval', () => {
  it('signs the version with the password and sets its price from the released lots and the making charge', async () => {
    const version = await submittedBy(await mill.as('nutritionist'))
    const reply = await approve(await mill.as('manager'), version)
    const approved = reply.as(VersionView)
    expect(approved).toMatchObject({ status: 'approved', contentHash: version.contentHash, approvedBy: 'Test manager' })
    const solved = (
      await (await mill.as('nutritionist')).post('/solve', { stage: 'layer_peak', limits: LAYER_LIMITS, batchKg: '1000' })
    ).as(MixView)
    // what a kilogram costs at the least, 3.00 for making (the mill of the tests), rounded up to 0.10
    const cost = Number(solved.costTotal) / 1000 + 3
    expect(approved.pricePerKg).toBe((Math.ceil(cost * 10) / 10).toFixed(4))
    expect(await mill.db.auditEntry.count({ where: { entityId: version.id, action: 'formula.approved' } })).toBe(1)
  })

  it('withdraws the version approved before in the same step', async () => {
    const author = await mill.as('nutritionist')
    const manager = await mill.as('manager')
    const first = await submittedBy(author)
    await approve(manager, first)
    const second = await submittedBy(author, [{ nutrient: 'CP', min: 17 }, ...LAYER_LIMITS.nutrients.slice(1)], first.formulaId)
    expect((await approve(manager, second)).status).toBe(200)
    const formula = (await author.get(`/formulas/${first.formulaId}`)).as(FormulaView)
    expect(formula.approved?.id).toBe(second.id)
    expect(formula.versions.map(({ version, status }) => [version, status])).toEqual([
      [2, 'approved'],
      [1, 'withdrawn'],
    ])
  })

  it('is refused to the author, to whoever submitted it and to whoever changed it, with nothing written', async () => {
    const author = await mill.newUser({ role: 'manager' })
    const version = await submittedBy(author)
    expect((await approve(author, version)).problem()).toMatchObject({ status: 403, code: 'self-approval' })

    const begun = await submittedBy(await mill.as('nutritionist'))
    const helper = await mill.newUser({ role: 'manager' })
    const next = (await helper.post(`/formulas/${begun.formulaId}/versions`)).problem()
    expect(next.code).toBe('already-exists')
    const draft = (
      await (
        await mill.as('nutritionist')
      ).post('/formulas', { nameEn: 'Helped', nameSw: 'Msaada', stage: 'layer_peak', requirementSource: 'REC' })
    ).as(VersionView)
    const limits = limitsOf(LAYER_LIMITS)
    const changed = (
      await helper.patch(`/formula-versions/${draft.id}`, { limits, medication: null, note: '' }, { revision: draft.revision })
    ).as(VersionView)
    const submitted = (
      await (await mill.as('nutritionist')).post(`/formula-versions/${draft.id}/submit`, {}, { revision: changed.revision })
    ).as(VersionView)
    expect((await approve(helper, submitted)).problem().code).toBe('self-approval')
    expect((await mill.db.formulaVersion.findUniqueOrThrow({ where: { id: draft.id } })).status).toBe('submitted')
  })

  it('is refused with a wrong password, a stale revision, for a draft, and to other roles', async () => {
    const author = await mill.as('nutritionist')
    const manager = await mill.as('manager')
    const version = await submittedBy(author)
    expect((await approve(manager, version, 'not my password')).problem()).toMatchObject({
      code: 'wrong-password',
      errors: [{ path: 'password' }],
    })
    expect((await approve(manager, { ...version, revision: version.revision - 1 })).problem().code).toBe('stale-revision')
    expect((await approve(await mill.as('laboratory'), version)).problem().code).toBe('not-allowed')
    const draft = (
      await author.post('/formulas', { nameEn: 'Only a draft', nameSw: 'Rasimu', stage: 'layer_peak', requirementSource: 'REC' })
    ).as(VersionView)
    expect((await approve(manager, draft)).problem().code).toBe('formula-not-submitted')
  })

  it('is refused when no mix of the released lots meets the limits, naming those that conflict', async () => {
    const version = await submittedBy(await mill.as('nutritionist'), [{ nutrient: 'CP', min: 60 }])
    const problem = (await approve(await mill.as('manager'), version)).problem()
    expect(problem).toMatchObject({ status: 422, code: 'formula-infeasible' })
    expect(JSON.stringify(problem)).toContain('"nutrient":"CP"')
  })

  it('happens exactly once when two managers approve at the same moment', async () => {
    const version = await submittedBy(await mill.as('nutritionist'))
    const two = await Promise.all([mill.newUser({ role: 'manager' }), mill.newUser({ role: 'manager' })])
    const replies = await Promise.all(two.map((manager) => approve(manager, version)))
    expect(replies.filter(({ status }) => status === 200)).toHaveLength(1)
    expect(await mill.db.auditEntry.count({ where: { entityId: version.id, action: 'formula.approved' } })).toBe(1)
  })
})

describe('withdrawing', () => {
  it('takes an approved version out of use, with the reason, once', async () => {
    const manager = await mill.as('manager')
    const version = await submittedBy(await mill.as('nutritionist'))
    const approved = (await approve(manager, version)).as(VersionView)
    const withdraw = () =>
      manager.post(`/formula-versions/${version.id}/withdraw`, { reason: 'hens left it' }, { revision: approved.revision })
    expect((await withdraw()).as(VersionView)).toMatchObject({ status: 'withdrawn', withdrawnReason: 'hens left it' })
    expect((await withdraw()).problem().code).toBe('stale-revision')
  })

  it('is refused for a draft and without a reason', async () => {
    const author = await mill.as('nutritionist')
    const draft = (
      await author.post('/formulas', { nameEn: 'Never approved', nameSw: 'Bado', stage: 'layer_peak', requirementSource: 'REC' })
    ).as(VersionView)
    const withdraw = (reason: string) => author.post(`/formula-versions/${draft.id}/withdraw`, { reason }, { revision: draft.revision })
    expect((await withdraw('why not')).problem().code).toBe('formula-not-approved')
    expect((await withdraw('')).problem().errors?.[0]).toMatchObject({ path: 'reason' })
  })
})
