import { z } from 'zod'
import { KnownByWord } from './quantities.js'

/** What a safety check says: a code and facts, made into words by the reader's language. */
export const FindingView = z
  .object({
    ruleId: z.string(),
    severity: z.enum(['pass', 'warn', 'block']),
    topic: z.string(),
    what: z.object({ code: z.string(), facts: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])) }),
    found: z.object({ value: z.number(), unit: z.string(), knownBy: KnownByWord }).nullable(),
    limit: z
      .object({ value: z.number(), unit: z.string(), side: z.enum(['min', 'max', 'range', 'equal']), high: z.number().optional() })
      .nullable(),
    source: z.object({ key: z.string(), read: z.boolean(), jurisdiction: z.string() }),
    appliesTo: z.string(),
    action: z.string(),
  })
  .meta({ id: 'Finding' })
export type FindingView = z.infer<typeof FindingView>
