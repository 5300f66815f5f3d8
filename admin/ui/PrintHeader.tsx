import { useSharedWords } from '../i18n/words'
import { WovenStrip } from './Mark'

type PrintHeaderProps = {
  readonly mill: string
  readonly document: string
  readonly number: string
  readonly when: string
  readonly who: string
  readonly page?: number
  readonly pages?: number
}

/** On top of every printed page: strip, mill, document and number, when and by whom, page x of y. */
export const PrintHeader = ({ mill, document, number, when, who, page = 1, pages = 1 }: PrintHeaderProps) => {
  const { t } = useSharedWords()
  return (
    <header className="k-print-header">
      <WovenStrip />
      <p className="k-print-mill">{mill}</p>
      <p className="k-print-document">
        {document} <span className="k-print-number">{number}</span>
      </p>
      <p className="k-caption">
        {t('ui.printedBy', { when, who })}. {t('ui.pageOf', { page, pages })}
      </p>
    </header>
  )
}
