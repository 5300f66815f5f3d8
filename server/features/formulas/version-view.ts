import type { z } from 'zod'
import {
  LimitsBody,
  MedicationBody,
  VERSION_STATUSES,
  type FormulaView,
  type VersionSummaryView,
  type VersionView,
} from '#contract/formulas'
import type { FindingView } from '#contract/findings'
import type { Prisma } from '#platform/database/client'

export const withPeople = {
  author: { select: { name: true } },
  approvedByUser: { select: { name: true } },
} as const satisfies Prisma.FormulaVersionInclude
export const withVersions = {
  versions: { include: withPeople, orderBy: { version: 'desc' } },
} as const satisfies Prisma.FormulaInclude

type VersionRow = Prisma.FormulaVersionGetPayload<{ include: typeof withPeople }>
type FormulaRow = Prisma.FormulaGetPayload<{ include: typeof withVersions }>
export type LimitSource = z.output<typeof VersionView>['limitSources'][number]

const statusOf = (word: string): (typeof VERSION_STATUSES)[number] => {
  const known = VERSION_STATUSES.find((status) => status === word)
  if (known === undefined) throw new Error(`unknown version status ${word}`)
  return known
}

export const versionSummary = (row: VersionRow): z.output<typeof VersionSummaryView> => ({
  id: row.id,
  version: row.version,
  status: statusOf(row.status),
  pricePerKg: row.pricePerKg?.toFixed(4) ?? null,
  author: row.author.name,
  createdAt: row.createdAt.toISOString(),
  submittedAt: row.submittedAt?.toISOString() ?? null,
  approvedBy: row.approvedByUser?.name ?? null,
  approvedAt: row.approvedAt?.toISOString() ?? null,
})

/** What the version fixes, out of its JSON columns. */
export const limitsOfRow = (row: { limits: unknown }): LimitsBody => LimitsBody.parse(row.limits)
export const medicationOfRow = (row: { medication: unknown }): z.output<typeof MedicationBody> | null =>
  row.medication === null ? null : MedicationBody.parse(row.medication)

export const formulaView = ({ versions, ...formula }: FormulaRow): z.output<typeof FormulaView> => {
  const summaries = versions.map(versionSummary)
  const [latest] = summaries
  if (latest === undefined) throw new Error(`formula ${formula.number} has no version`)
  const { id, number, nameEn, nameSw, stage } = formula
  return {
    id,
    number,
    nameEn,
    nameSw,
    stage,
    approved: summaries.find(({ status }) => status === 'approved') ?? null,
    latest,
    versions: summaries,
  }
}

export const withFormula = { ...withPeople, formula: true } as const satisfies Prisma.FormulaVersionInclude
export type VersionWhole = Prisma.FormulaVersionGetPayload<{ include: typeof withFormula }>

export const versionView = (
  row: VersionWhole,
  { limitSources, findings }: { limitSources: readonly LimitSource[]; findings: readonly z.output<typeof FindingView>[] },
): z.output<typeof VersionView> => ({
  ...versionSummary(row),
  formulaId: row.formulaId,
  formulaNumber: row.formula.number,
  nameEn: row.formula.nameEn,
  nameSw: row.formula.nameSw,
  stage: row.formula.stage,
  requirementSource: row.requirementSource,
  limits: limitsOfRow(row),
  limitSources: [...limitSources],
  medication: medicationOfRow(row),
  note: row.note,
  contentHash: row.contentHash,
  authorId: row.authorId,
  withdrawnAt: row.withdrawnAt?.toISOString() ?? null,
  withdrawnReason: row.withdrawnReason,
  findings: [...findings],
  revision: row.revision,
})
