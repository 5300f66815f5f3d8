import type { z } from 'zod'
import type { ProposalView } from '#contract/stock'
import { formatDate, formatTime } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import type { Language } from '../../i18n/language'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

export type Proposal = z.output<typeof ProposalView>
type Words = { readonly t: Translate<StaffKey>; readonly language: Language }

/** "+3.5 kg" or "−3.5 kg": which way it goes stands before the figure. */
export const signedKg = (kg: string): string => (kg.startsWith('-') ? formatKg(kg) : `+${formatKg(kg)}`)

export const proposalTold = (row: Proposal, { t, language }: Words): string =>
  t(`stockChange.proposals.told.${row.kind}`, {
    lot: row.lotNumber,
    name: language === 'en' ? row.ingredientNameEn : row.ingredientNameSw,
    kg: formatKg(row.kg),
    difference: signedKg(row.differenceKg),
  })

export const proposedBy = (row: Proposal, { t, language }: Words): string =>
  t('stockChange.proposals.by', {
    who: row.proposedBy,
    when: `${formatDate(row.proposedAt, language)} ${formatTime(row.proposedAt)}`,
    reason: row.reason,
  })
