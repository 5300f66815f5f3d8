import { z } from 'zod'
import { SHEET_KINDS } from '#core/sheets/sheet'
import { listQuery, words } from './lists.js'
import { Instant, LanguageCode, RequiredText } from './quantities.js'

/** `printed`: blank, or written on and not yet entered. */
export const SHEET_STATES = ['printed', 'entered', 'spoiled'] as const
export const MAX_SHEETS_AT_ONCE = 50

/** The number of a sheet as it is printed on it: a letter for its kind, then its number. */
export const SheetCode = z
  .string()
  .regex(/^[RWC]-\d{1,9}$/, 'the number of a sheet, such as R-0012')
  .meta({ id: 'SheetCode', description: 'Number of a blank sheet as printed', examples: ['R-0012'] })
/** What a command takes that may be entered from a sheet of a power cut. */
export const FromSheet = SheetCode.nullable().default(null).describe('the blank sheet on which this was written in a power cut')

export const BlankSheetListQuery = listQuery(['number', 'printedAt'], { state: words(SHEET_STATES), kind: words(SHEET_KINDS) }, 'desc')
export const IssueSheetsBody = z.strictObject({
  kind: z.enum(SHEET_KINDS),
  count: z.number().int('a whole number').min(1, 'at least 1').max(MAX_SHEETS_AT_ONCE, `at most ${MAX_SHEETS_AT_ONCE}`),
})
export const SpoilSheetBody = z.strictObject({ reason: RequiredText(300) })

export const BlankSheetView = z
  .object({
    id: z.uuid(),
    number: z.number().int(),
    code: SheetCode,
    kind: z.enum(SHEET_KINDS),
    bundleId: z.uuid().describe('the sheets that were printed together'),
    state: z.enum(SHEET_STATES),
    printedAt: Instant,
    printedBy: z.string(),
    happenedAt: Instant.nullable(),
    enteredAt: Instant.nullable(),
    enteredBy: z.string().nullable(),
    lot: z.object({ id: z.uuid(), number: z.number().int() }).nullable(),
    batch: z.object({ id: z.uuid(), number: z.number().int() }).nullable(),
    order: z.object({ id: z.uuid(), number: z.number().int() }).nullable(),
    spoiledAt: Instant.nullable(),
    spoiledBy: z.string().nullable(),
    spoiledReason: z.string().nullable(),
  })
  .meta({ id: 'BlankSheet' })
export type BlankSheetView = z.output<typeof BlankSheetView>

export const IssuedSheetsView = z
  .object({ bundleId: z.uuid(), kind: z.enum(SHEET_KINDS), codes: z.array(SheetCode) })
  .meta({ id: 'IssuedSheets' })
export type IssuedSheetsView = z.output<typeof IssuedSheetsView>

export const SheetPaperQuery = z.strictObject({ language: LanguageCode.optional() })

/** One box to write in: its label, how many of the four columns it takes, and the unit printed in it. */
const PaperBox = z.object({ label: z.string(), columns: z.number().int(), unit: z.string(), hint: z.string() })
/** Ruled rows to write in; a unit is printed in every row of its column, so that nobody has to write it. */
const PaperTable = z.object({
  title: z.string(),
  columns: z.array(z.object({ label: z.string(), share: z.number(), unit: z.string() })),
  rows: z.number().int(),
})
/** Blank sheets as a model in one language: the PDF and the print view both show exactly this. */
export const BlankPaperView = z
  .object({
    language: LanguageCode,
    kind: z.enum(SHEET_KINDS),
    mill: z.string(),
    printed: z.string(),
    title: z.string(),
    use: z.string().describe('when to write on it'),
    when: z.string(),
    boxes: z.array(PaperBox).describe('in rows of four columns'),
    tables: z.array(PaperTable).describe('side by side'),
    ticks: z
      .object({ title: z.string(), points: z.array(z.string()) })
      .nullable()
      .describe('ticked only where something is wrong'),
    after: z.array(PaperBox).describe('written last, below the tables'),
    cautions: z.array(z.string()),
    signatures: z.array(z.string()),
    entered: z.string().describe('the line that is ticked when the sheet is in the program'),
    sheets: z.array(z.object({ code: SheetCode, qr: z.string() })),
  })
  .meta({ id: 'BlankPaper' })
export type BlankPaperView = z.output<typeof BlankPaperView>
