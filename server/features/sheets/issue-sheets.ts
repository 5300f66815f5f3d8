import { IssuedSheetsView, IssueSheetsBody } from '#contract/sheets'
import { sheetCode } from '#core/sheets/sheet'
import { command } from '#platform/command'

/** Who stands at the gate, the scale or the counter when the light goes out, and the manager. */
export const SHEET_ROLES = ['manager', 'store-keeper', 'mixer-operator', 'counter-clerk'] as const

/** Numbers for blank sheets, in one row and each for ever. Two who ask at once wait for each other, so that a bundle has no gap. */
export const issueSheets = command({
  roles: SHEET_ROLES,
  input: IssueSheetsBody,
  output: IssuedSheetsView,
  status: 201,
  async run({ tx, actor, now, newId, record }, { kind, count }) {
    await tx.$executeRaw`SELECT pg_advisory_xact_lock(hashtextextended('blank_sheet_number', 1))`
    const bundleId = newId()
    const made = await tx.blankSheet.createManyAndReturn({
      data: Array.from({ length: count }, () => ({ id: newId(), kind, bundleId, printedAt: now, printedBy: actor.userId })),
      select: { number: true },
    })
    const codes = made
      .map(({ number }) => number)
      .toSorted((a, b) => a - b)
      .map((number) => sheetCode(kind, number))
    record('sheets.issued', 'blank-sheets', bundleId, { kind, count, first: codes[0] ?? '', last: codes.at(-1) ?? '' })
    return { bundleId, kind, codes }
  },
})
