import { z } from 'zod'
import { listQuery } from './lists.js'

export const RequirementListQuery = listQuery(['id', 'stage', 'nutrient', 'source'], {
  stage: z.string().max(80).optional(),
  nutrient: z.string().max(20).optional(),
  source: z.string().max(60).optional(),
  seen: z.enum(['read', 'memory']).optional(),
})
export const RequirementView = z
  .object({
    id: z.number().int(),
    stage: z.string(),
    nutrient: z.string(),
    unit: z.string(),
    min: z.number().nullable(),
    target: z.number().nullable(),
    max: z.number().nullable(),
    basis: z.string(),
    referenceIntakeG: z.number().nullable(),
    source: z.string(),
    seen: z.enum(['read', 'calc', 'memory']),
    note: z.string(),
  })
  .meta({ id: 'Requirement' })

export const StageView = z
  .object({
    id: z.string(),
    flockType: z.string(),
    fromWeek: z.number().nullable(),
    toWeek: z.number().nullable(),
    birdClass: z.string(),
    sources: z.array(z.string()),
  })
  .meta({ id: 'Stage' })
export const StageListQuery = listQuery(['id'], {})

export const SafetyRuleListQuery = listQuery(['id', 'topic', 'severity', 'jurisdiction'], {
  topic: z.string().max(60).optional(),
  jurisdiction: z.string().max(60).optional(),
  severity: z.enum(['block', 'warn']).optional(),
  seen: z.enum(['read', 'memory']).optional(),
})
export const SafetyRuleView = z
  .object({
    id: z.string(),
    topic: z.string(),
    protects: z.string(),
    item: z.string(),
    operator: z.string(),
    limit: z.string(),
    unit: z.string(),
    basis: z.string(),
    appliesTo: z.string(),
    severity: z.enum(['block', 'warn']),
    action: z.string(),
    jurisdiction: z.string(),
    inForceHere: z.boolean(),
    source: z.string(),
    seen: z.string(),
    note: z.string(),
  })
  .meta({ id: 'SafetyRule' })

export const CoccidiostatListQuery = listQuery(['id', 'active', 'jurisdiction'], { jurisdiction: z.string().max(60).optional() })
export const CoccidiostatView = z
  .object({
    id: z.number().int(),
    jurisdiction: z.string(),
    active: z.string(),
    category: z.string(),
    maxAgeWeeks: z.string(),
    minMgPerKg: z.string(),
    maxMgPerKg: z.string(),
    withdrawalDays: z.string(),
    mayFeedToLayingHens: z.string(),
    dangerousTo: z.string(),
    labelDuty: z.string(),
    source: z.string(),
    seen: z.string(),
  })
  .meta({ id: 'Coccidiostat' })
