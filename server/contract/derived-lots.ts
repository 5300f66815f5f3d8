import { z } from 'zod'
import { LOSS_KINDS, MAKING_KINDS } from '#core/stock/derived-lot'
import { LotStatus } from './lot-status.js'
import { Instant, KgString, KgView, RequiredText, Text } from './quantities.js'

export const MakingKindWord = z.enum(MAKING_KINDS).meta({ id: 'MakingKind' })
export const LossKindWord = z.enum(LOSS_KINDS).meta({ id: 'LossKind' })

/** A bin holds a handful of lots; more than these are a list that was pasted wrongly. */
export const MOST_PARENTS = 12

const MoisturePct = z.number().min(0, 'at least 0 %').max(60, 'at most 60 %').nullable().default(null)

export const MakeLotBody = z.strictObject({
  kind: MakingKindWord,
  inputs: z
    .array(z.strictObject({ lotId: z.uuid(), kg: KgString }))
    .min(1, 'at least one lot')
    .max(MOST_PARENTS, `at most ${MOST_PARENTS} lots`),
  gotKg: KgString.describe('what the scale said afterwards'),
  lossKind: LossKindWord.nullable().default(null).describe('what became of the rest; needed where gotKg is not what was taken'),
  moistureBeforePct: MoisturePct.describe('by the meter, for drying'),
  moistureAfterPct: MoisturePct.describe('by the meter, for drying'),
  storagePlace: Text(80).default('').describe('the place or the bin; needed for a bin'),
  happenedAt: Instant.nullable().default(null).describe('null: now'),
  note: Text(400).default(''),
})
export type MakeLotBody = z.infer<typeof MakeLotBody>

export const UndoMakingBody = z.strictObject({ reason: RequiredText(400) })

/** A lot beside another in a trace of lots. */
const Relative = z.object({
  lotId: z.uuid(),
  number: z.number().int(),
  ingredientNameEn: z.string(),
  ingredientNameSw: z.string(),
  supplierName: z.string(),
  madeBy: MakingKindWord.nullable(),
  status: LotStatus,
  kg: KgView,
})

/** How a lot was made from others. */
export const MakingView = z
  .object({
    kind: MakingKindWord,
    takenKg: KgView,
    gotKg: KgView,
    lossKg: KgView.describe('below zero: more came out than went in'),
    lossKind: LossKindWord.nullable(),
    expectedKg: KgView.describe('by the dry-matter balance for drying, else what was taken'),
    differs: z.boolean().describe('further from what was expected than handling explains'),
    moistureBeforePct: z.number().nullable(),
    moistureAfterPct: z.number().nullable(),
    note: z.string(),
    undone: z.boolean(),
    mayUndo: z.boolean(),
    parents: z.array(Relative.extend({ parents: z.array(Relative).describe('what a parent was made from, one step further back') })),
  })
  .meta({ id: 'LotMaking' })
export type MakingView = z.infer<typeof MakingView>

export const ChildLotView = Relative.meta({ id: 'ChildLot' })
export type ChildLotView = z.infer<typeof ChildLotView>
