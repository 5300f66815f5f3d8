import { useSearchParams } from 'react-router-dom'
import { useStaffWords } from '../../i18n/words'
import { momentTold } from './sheetWords'

export type FromSheet = { readonly sheet: string; readonly at: string }

/** The sheet that a form is filled in from, and when it happened, as the address says; undefined when it is filled in now. */
export const useFromSheet = (): FromSheet | undefined => {
  const [params] = useSearchParams()
  const [sheet, at] = [params.get('sheet') ?? '', params.get('happenedAt') ?? '']
  return sheet === '' || Number.isNaN(Date.parse(at)) ? undefined : { sheet, at }
}

export const withSheet = (path: string, { sheet, at }: FromSheet): string =>
  `${path}?${new URLSearchParams({ sheet, happenedAt: at }).toString()}`

/** Said above the form, so that nobody enters a delivery of today under yesterday's time. */
export const FromSheetLine = ({ from: { sheet, at } }: { from: FromSheet }) => {
  const { t, language } = useStaffWords()
  return <p className="k-strong">{t('blankSheet.from', { code: sheet, when: momentTold(at, language) })}</p>
}
