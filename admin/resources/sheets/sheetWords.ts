import type { BlankSheetView } from '#contract/sheets'
import { formatDate, formatTime } from '../../format/dates'
import type { Language } from '../../i18n/language'
import type { Translate } from '../../i18n/translate'
import type { StaffKey } from '../../i18n/words'

export type Sheet = BlankSheetView
type Words = { readonly t: Translate<StaffKey>; readonly language: Language }

/** "Tue 4 Aug 2026 10:20", on the mill's clock. */
export const momentTold = (iso: string, language: Language): string => `${formatDate(iso, language)} ${formatTime(iso)}`

/** A code in a heading, which does not break at its hyphen on a narrow screen. */
export const unbroken = (code: string): string => code.replace('-', '\u2011')

/** What became of a sheet, in one line. */
export const stateTold = (sheet: Sheet, { t, language }: Words): string => {
  switch (sheet.state) {
    case 'printed':
      return t('blankSheet.state.printed')
    case 'entered':
      return t('blankSheet.enteredBy', {
        happened: momentTold(sheet.happenedAt ?? '', language),
        entered: momentTold(sheet.enteredAt ?? '', language),
        who: sheet.enteredBy ?? '',
      })
    case 'spoiled':
      return t('blankSheet.spoiledBy', {
        date: formatDate(sheet.spoiledAt ?? '', language),
        who: sheet.spoiledBy ?? '',
        reason: sheet.spoiledReason ?? '',
      })
    default:
      return sheet.state satisfies never
  }
}

/** The lot, load or order that a sheet became, and where it stands. */
export const becameOf = ({ lot, batch, order }: Pick<Sheet, 'lot' | 'batch' | 'order'>, { t }: Pick<Words, 't'>) => {
  if (lot) return { what: t('blankSheet.lot', { number: lot.number }), href: `#/lots/${lot.id}/show` }
  if (batch) return { what: t('blankSheet.load', { number: batch.number }), href: `#/batches/${batch.id}/show` }
  return order && { what: t('blankSheet.order', { number: order.number }), href: `#/orders/${order.id}/show` }
}
