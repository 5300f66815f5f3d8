import { z } from 'zod'
import { Instant, KgView, PlainDate } from './quantities.js'

/** What a role must know on opening: answers, not menus. */
export const HomeView = z
  .object({
    at: Instant,
    role: z.string(),
    decide: z.array(
      z.object({
        kind: z.enum(['approve-version', 'release-lot', 'discrepancy', 'stock-proposal', 'plan-order', 'find-sheets']),
        id: z.string(),
        label: z.string(),
        detail: z.record(z.string(), z.union([z.string(), z.number(), z.null()])),
      }),
    ),
    loads: z.array(
      z.object({
        id: z.uuid(),
        number: z.number().int(),
        feedNameEn: z.string(),
        feedNameSw: z.string(),
        loadKg: KgView,
        status: z.string(),
        medicated: z.boolean(),
        pictogram: z.string(),
      }),
    ),
    loadsDone: z.number().int(),
    toHandOver: z.array(
      z.object({
        id: z.uuid(),
        number: z.number().int(),
        memberName: z.string(),
        feedNameEn: z.string(),
        feedNameSw: z.string(),
        kg: KgView,
        readyAt: Instant.nullable(),
      }),
    ),
    toTest: z.array(
      z.object({
        id: z.uuid(),
        number: z.number().int(),
        ingredientNameEn: z.string(),
        ingredientNameSw: z.string(),
        missing: z.array(z.string()),
        receivedAt: Instant,
      }),
    ),
    onHold: z.array(
      z.object({
        id: z.uuid(),
        number: z.number().int(),
        ingredientNameEn: z.string(),
        ingredientNameSw: z.string(),
        waitsFor: z.enum(['tests', 'decision']),
        kg: KgView,
      }),
    ),
    endsFirst: z.array(
      z.object({
        id: z.uuid(),
        number: z.number().int(),
        ingredientNameEn: z.string(),
        ingredientNameSw: z.string(),
        expiresOn: PlainDate,
        daysLeft: z.number().int(),
        freeKg: KgView,
      }),
    ),
    formulas: z.array(
      z.object({
        id: z.uuid(),
        formulaId: z.uuid(),
        nameEn: z.string(),
        nameSw: z.string(),
        version: z.number().int(),
        status: z.string(),
        pricePerKg: z.string().nullable(),
      }),
    ),
    orders: z.array(
      z.object({
        id: z.uuid(),
        number: z.number().int(),
        memberName: z.string(),
        feedNameEn: z.string(),
        feedNameSw: z.string(),
        kg: KgView,
        dueOn: PlainDate,
        status: z.string(),
      }),
    ),
    booksWhole: z.boolean().nullable(),
    counts: z.record(z.string(), z.number().int()),
  })
  .meta({ id: 'Home' })
