import { beforeAll, describe, expect, it } from 'vitest'
import type { z } from 'zod'
import { FormulaView, VersionView } from '#contract/formulas'
import { prepareMill } from '../../support/builders/mill.js'
import { limitsOf, makeVersion } from '../../support/builders/formulas.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

let names = 0
const draftBody = (facts: object = {}) => ({
  nameEn: `Layer mash ${(names += 1)}`,
  nameSw: 'Chakula cha kuku wa mayai',
  stage: 'layer_peak',
  requirementSource: 'REC',
  ...facts,
})
const newDraft = async (facts: object = {}) => (await (await mill.as('nutritionist')).post('/formulas', draftBody(facts))).as(VersionView)

describe('a new formula', () => {
  it('begins as a draft with the limits of a requirement set, each with its source and whether it was read', async () => {
    const version = await newDraft()
    expect(version).toMatchObject({ version: 1, status: 'draft', stage: 'layer_peak', contentHash: null, pricePerKg: null })
    // requirements.csv, layer_peak, REC: protein as stated there, a remembered synthesis
    const stated = await mill.db.requirement.findFirstOrThrow({ where: { stage: 'layer_peak', source: 'REC', nutrient: 'CP' } })
    expect(version.limits.nutrients.find(({ nutrient }) => nutrient === 'CP')).toMatchObject({ min: stated.minValue, max: stated.maxValue })
    expect(version.limitSources.find(({ nutrient }) => nutrient === 'CP')).toMatchObject({ source: 'REC', seen: 'memory' })
    expect(version.limitSources).toHaveLength(version.limits.nutrients.length)
  })

  // layer_peak, REC in requirements.csv, from memory: lysine at least 0.78, target 0.84; sodium 0.16 to 0.2, target 0.17
  it('takes the published minimum with the certainty asked, or the target on average, never both margins', async () => {
    const figures = async (requirementUse?: object, facts: object = {}) => {
      const version = await newDraft({ ...(requirementUse === undefined ? {} : { requirementUse }), ...facts })
      const limitFor = (nutrient: string) => version.limits.nutrients.find((limit) => limit.nutrient === nutrient)
      return { limitFor, version, sources: version.limitSources }
    }
    const today = await figures()
    expect(today.limitFor('Lys')).toEqual({ nutrient: 'Lys', min: 0.78 })
    expect((await figures({ kind: 'minimum' })).version.limits).toEqual(today.version.limits)
    const sure = await figures({ kind: 'minimum', certainty: 0.9 })
    expect(sure.limitFor('Lys')).toEqual({ nutrient: 'Lys', min: 0.78, certainty: 0.9 })
    expect(sure.limitFor('Na')).toEqual({ nutrient: 'Na', min: 0.16, max: 0.2, certainty: 0.9 })
    const target = await figures({ kind: 'target' })
    expect(target.limitFor('Lys')).toEqual({ nutrient: 'Lys', min: 0.84 })
    expect(target.limitFor('Na')).toEqual({ nutrient: 'Na', min: 0.17, max: 0.2 })
    expect(target.version.limits.nutrients.some(({ certainty }) => certainty !== undefined)).toBe(false)
    // each is told as the source has it, and the target as a target
    for (const { sources } of [today, sure, target]) expect(new Set(sources.map(({ seen }) => seen))).toEqual(new Set(['memory']))
    expect(sure.sources.some(({ fromTarget }) => fromTarget)).toBe(false)
    const stated = await mill.db.requirement.findMany({ where: { stage: 'layer_peak', source: 'REC', targetValue: { not: null } } })
    const targeted = new Set(stated.map(({ nutrient }) => nutrient))
    expect(targeted.size).toBe(18)
    for (const { nutrient, fromTarget } of target.sources) expect(fromTarget, nutrient).toBe(targeted.has(nutrient))
    // NRC1994 has minima, and of energy a target alone: on average whatever is asked
    const nrc = await figures({ kind: 'minimum', certainty: 0.9 }, { requirementSource: 'NRC1994' })
    expect(nrc.limitFor('AME')).toEqual({ nutrient: 'AME', min: 2900 })
    expect(nrc.limitFor('CP')).toEqual({ nutrient: 'CP', min: 15, certainty: 0.9 })
    expect((await figures({ kind: 'target' }, { requirementSource: 'NRC1994' })).limitFor('CP')).toEqual({ nutrient: 'CP', min: 15 })
    const { facts } = await mill.db.auditEntry.findFirstOrThrow({ where: { entityId: sure.version.id, action: 'formula.drafted' } })
    expect(facts).toMatchObject({ requirementUse: { kind: 'minimum', certainty: 0.9 } })
  })

  it('refuses a certainty that no limit can be held with, and both margins at once, naming the field', async () => {
    const agent = await mill.as('nutritionist')
    const wrong = [
      { requirementUse: { kind: 'minimum', certainty: 0.4 }, path: 'requirementUse.certainty' },
      { requirementUse: { kind: 'minimum', certainty: 1 }, path: 'requirementUse.certainty' },
      { requirementUse: { kind: 'minimum', certainty: '0.9' }, path: 'requirementUse.certainty' },
      { requirementUse: { kind: 'target', certainty: 0.9 }, path: 'requirementUse.certainty' },
      { requirementUse: { kind: 'mean' }, path: 'requirementUse.kind' },
    ]
    for (const { requirementUse, path } of wrong) {
      const reply = await agent.post('/formulas', draftBody({ requirementUse }))
      expect(reply.status, path).toBe(400)
      expect(reply.problem().errors?.[0]?.path).toBe(path)
    }
  })

  it('holds a vitamin premix at its usual rate, so that the cheapest mix cannot leave vitamins out', async () => {
    const version = await newDraft()
    // ingredients.csv, premix_generic: at most 0.5 % in every class of birds, from memory, "follow the maker"
    expect(version.limits.ingredients).toContainEqual({ ingredientId: 'premix_generic', minPct: 0.5, maxPct: 0.5 })
    expect(version.findings.some(({ ruleId }) => ruleId === 'VITAMIN-SOURCE')).toBe(false)
  })

  it('stands in the list and the audit', async () => {
    const version = await newDraft()
    const reply = await (await mill.as('store-keeper')).get('/formulas', { id: version.formulaId })
    expect(reply.as(FormulaView.array())[0]).toMatchObject({ approved: null, latest: { id: version.id, status: 'draft' } })
    expect(await mill.db.auditEntry.count({ where: { entityId: version.id, action: 'formula.drafted' } })).toBe(1)
  })

  it('refuses a stage and a source that no table knows, and a name that is taken, each beside its field', async () => {
    const agent = await mill.as('nutritionist')
    const before = await mill.db.formula.count()
    const wrong = [
      { facts: { stage: 'ostrich' }, path: 'stage', status: 400 },
      { facts: { requirementSource: 'NOBODY' }, path: 'requirementSource', status: 400 },
      { facts: { nameEn: '' }, path: 'nameEn', status: 400 },
    ]
    for (const { facts, path, status } of wrong) {
      const reply = await agent.post('/formulas', draftBody(facts))
      expect(reply.status).toBe(status)
      expect(reply.problem().errors?.[0]?.path).toBe(path)
    }
    expect(await mill.db.formula.count()).toBe(before)
    const taken = await newDraft()
    const reply = await agent.post('/formulas', draftBody({ nameEn: taken.nameEn }))
    expect(reply.problem()).toMatchObject({ status: 409, code: 'already-exists', errors: [{ path: 'nameEn' }] })
  })

  it('is drafted by nutritionist or manager only', async () => {
    for (const role of ['store-keeper', 'laboratory', 'mixer-operator', 'counter-clerk', 'member'] as const) {
      expect((await (await mill.as(role)).post('/formulas', draftBody())).problem().code).toBe('not-allowed')
    }
    expect((await (await mill.as('member')).get('/formulas')).problem().code).toBe('not-allowed')
  })
})

describe('a draft', () => {
  const change = async (version: z.output<typeof VersionView>, body: object, revision = version.revision) =>
    (await mill.as('nutritionist')).patch(`/formula-versions/${version.id}`, body, { revision })
  const body = (limits: object) => ({ limits: limitsOf(limits), medication: null, note: '' })

  it('takes other limits, and says which were changed or added', async () => {
    const version = await newDraft()
    const limits = {
      nutrients: [
        { nutrient: 'CP', min: 16.9 },
        { nutrient: 'TDF', max: 30 },
      ],
      ingredients: [{ ingredientId: 'maize_white', maxPct: 60 }],
    }
    const changed = (await change(version, body(limits))).as(VersionView)
    expect(changed.limits.nutrients).toEqual(limits.nutrients)
    expect(changed.revision).toBe(version.revision + 1)
    expect(changed.limitSources.map(({ seen }) => seen)).toEqual(['changed', 'added'])
  })

  it('refuses a minimum above the maximum, a protein of 450 %, a repeated nutrient and an unknown ingredient', async () => {
    const version = await newDraft()
    const refused = [
      { limits: { nutrients: [{ nutrient: 'CP', min: 20, max: 18 }] }, code: 'bad-input', path: 'limits.nutrients.0.min' },
      { limits: { nutrients: [{ nutrient: 'CP', min: 450 }] }, code: 'bad-input', path: 'limits.nutrients.0.min' },
      {
        limits: {
          nutrients: [
            { nutrient: 'CP', min: 1 },
            { nutrient: 'CP', max: 20 },
          ],
        },
        code: 'bad-input',
        path: 'limits.nutrients.1.nutrient',
      },
      {
        limits: { ingredients: [{ ingredientId: 'moon_dust', maxPct: 5 }] },
        code: 'ingredient-unknown',
        path: 'limits.ingredients.0.ingredientId',
      },
      { limits: { ingredients: [{ ingredientId: 'maize_white', maxPct: 500 }] }, code: 'bad-input', path: 'limits.ingredients.0.maxPct' },
    ]
    for (const { limits, code, path } of refused) {
      const reply = await change(version, body(limits))
      expect(reply.problem()).toMatchObject({ code, errors: [{ path }] })
    }
    expect((await mill.db.formulaVersion.findUniqueOrThrow({ where: { id: version.id } })).revision).toBe(version.revision)
  })

  it('refuses a revision that is not the last, and a version that is no draft any more', async () => {
    const version = await newDraft()
    await change(version, body({ nutrients: [{ nutrient: 'CP', min: 17 }] }))
    expect((await change(version, body({ nutrients: [{ nutrient: 'CP', min: 16 }] }))).problem().code).toBe('stale-revision')
    const approved = await makeVersion(mill.db)
    const reply = await (
      await mill.as('nutritionist')
    ).patch(`/formula-versions/${approved.id}`, body({ nutrients: [{ nutrient: 'CP', min: 17 }] }), { revision: 1 })
    expect(reply.problem().code).toBe('formula-not-draft')
  })

  it('is followed by a new draft only when it has left draft', async () => {
    const agent = await mill.as('nutritionist')
    const draft = await newDraft()
    expect((await agent.post(`/formulas/${draft.formulaId}/versions`)).problem().code).toBe('already-exists')
    const approved = await makeVersion(mill.db)
    const next = (await agent.post(`/formulas/${approved.formulaId}/versions`)).as(VersionView)
    expect(next).toMatchObject({ version: 2, status: 'draft', limits: { nutrients: [{ nutrient: 'CP', min: 16.5 }, {}, {}] } })
  })
})

describe('submitting', () => {
  const submit = async (id: string, revision: number) =>
    (await mill.as('nutritionist')).post(`/formula-versions/${id}/submit`, {}, { revision })

  it('freezes the version under a hash of what it says', async () => {
    const version = await newDraft()
    const submitted = (await submit(version.id, version.revision)).as(VersionView)
    expect(submitted.status).toBe('submitted')
    expect(submitted.contentHash).toMatch(/^[0-9a-f]{64}$/)
    expect((await submit(version.id, submitted.revision)).problem().code).toBe('formula-not-draft')
  })

  it('refuses a chick feed whose calcium may go above what growing birds bear, with the rule and its source', async () => {
    const version = await makeVersion(mill.db, {
      status: 'draft',
      stage: 'layer_chick_0_6wk',
      limits: {
        nutrients: [
          { nutrient: 'CP', min: 18 },
          { nutrient: 'Ca', max: 4 },
        ],
      },
    })
    const problem = (await submit(version.id, 1)).problem()
    expect(problem).toMatchObject({ status: 422, code: 'safety-block' })
    expect(JSON.stringify(problem)).toContain('maximum-above-rule')
    expect((await mill.db.formulaVersion.findUniqueOrThrow({ where: { id: version.id } })).status).toBe('draft')
  })

  it('refuses a coccidiostat for laying hens', async () => {
    const version = await makeVersion(mill.db, {
      status: 'draft',
      medication: { active: 'salinomycin sodium', mgPerKg: 60, ingredientId: 'premix_generic' },
    })
    const problem = (await submit(version.id, 1)).problem()
    expect(problem.code).toBe('safety-block')
    expect(JSON.stringify(problem)).toContain('not-for-laying-hens')
  })

  it('refuses a draft without any nutrient limit', async () => {
    const version = await makeVersion(mill.db, { status: 'draft', limits: {} })
    expect((await submit(version.id, 1)).problem()).toMatchObject({ code: 'bad-input', errors: [{ path: 'limits.nutrients' }] })
  })
})
