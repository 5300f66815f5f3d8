import type { LimitsBody } from '#contract/formulas'
import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { createUser } from '../users.js'

let count = 0

export type FormulaFacts = {
  readonly nameEn?: string
  readonly stage?: string
  readonly limits?: Partial<LimitsBody>
  readonly medication?: { readonly active: string; readonly mgPerKg: number; readonly ingredientId: string }
  readonly status?: 'draft' | 'submitted' | 'approved' | 'withdrawn'
  readonly pricePerKg?: string
  readonly authorId?: string
  /** A second version of that formula, instead of a formula of its own. */
  readonly formulaId?: string
}
export type BuiltVersion = { readonly id: string; readonly formulaId: string; readonly authorId: string; readonly revision: number }

/** Limits of a few words: what is not named is not limited. */
export const limitsOf = (limits: Partial<LimitsBody>): LimitsBody => ({ nutrients: [], ratios: [], ingredients: [], groups: [], ...limits })

/** Limits of a layer feed that the safety rules pass: calcium for the shell (rule CA-05) and salt (NA-02, NA-04). */
export const LAYER_LIMITS: LimitsBody = limitsOf({
  nutrients: [
    { nutrient: 'CP', min: 16.5 },
    { nutrient: 'Ca', min: 3.5, max: 4.2 },
    { nutrient: 'Na', min: 0.15, max: 0.25 },
  ],
})

/** A formula with one version in the asked state, approved by somebody else than its author. Needs `prepareMill` first. */
export const makeVersion = async (db: Db, facts: FormulaFacts = {}): Promise<BuiltVersion> => {
  count += 1
  const status = facts.status ?? 'approved'
  const now = new Date()
  const authorId = facts.authorId ?? (await createUser(db, { role: 'nutritionist' })).id
  const approver = status === 'approved' ? (await createUser(db, { role: 'manager' })).id : null
  const stage = facts.stage ?? 'layer_peak'
  const name = facts.nameEn ?? `Feed ${count} ${process.pid}`
  const formulaId = facts.formulaId ?? newId()
  if (facts.formulaId === undefined)
    await db.formula.create({ data: { id: formulaId, nameEn: name, nameSw: `Chakula ${count}`, stage, createdAt: now } })
  const limits = facts.limits === undefined ? LAYER_LIMITS : limitsOf(facts.limits)
  const version = await db.formulaVersion.create({
    data: {
      id: newId(),
      formulaId,
      version: facts.formulaId === undefined ? 1 : 2,
      status,
      requirementSource: 'REC',
      limits,
      ...(facts.medication === undefined ? {} : { medication: facts.medication }),
      authorId,
      createdAt: now,
      ...(status === 'draft' ? {} : { submittedBy: authorId, submittedAt: now, contentHash: 'built for a test' }),
      ...(approver === null ? {} : { approvedBy: approver, approvedAt: now, pricePerKg: facts.pricePerKg ?? '55.2000' }),
    },
  })
  return { id: version.id, formulaId, authorId, revision: version.revision }
}
