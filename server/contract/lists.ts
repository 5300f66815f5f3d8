import { z } from 'zod'

const whole = (max: number) => z.coerce.number().int('a whole number').min(1, 'at least 1').max(max, `at most ${max}`)

/** `?page&perPage&sort&order` of every list; `sortable` are the fields one may sort by, the first is the default. */
export const listQuery = <const S extends readonly [string, ...string[]], F extends z.ZodRawShape>(
  sortable: S,
  filters: F,
  defaultOrder: 'asc' | 'desc' = 'asc',
) =>
  z.strictObject({
    page: whole(100_000).default(1),
    perPage: whole(200).default(25),
    sort: z.enum(sortable).default(sortable[0] as S[number]),
    order: z.enum(['asc', 'desc']).default(defaultOrder),
    q: z.string().max(100).optional().describe('words to look for'),
    id: z.string().max(8_000).optional().describe('only these ids, parted by commas'),
    ...filters,
  })

export const ById = z.strictObject({ id: z.uuid() })
export const ByKey = z.strictObject({ id: z.string().min(1).max(80) })
/** A filter that takes one word or several parted by commas. */
export const words = <const W extends readonly [string, ...string[]]>(allowed: W) =>
  z
    .string()
    .max(400)
    .transform((text) => text.split(','))
    .pipe(z.array(z.enum(allowed)).min(1))
    .optional()
