import { useState, type ReactNode } from 'react'
import { useStaffWords } from '../../i18n/words'
import { useWide } from '../../shell/useWide'
import { Button } from '../../ui/Button'

type FewProps<R> = {
  readonly rows: readonly R[]
  /** So many stand on a phone, where the next answer must stay within reach. */
  readonly onPhone?: number
  readonly children: (row: R) => ReactNode
}

/** The first rows on a phone with a way to the others; all of them on a desktop. */
export const Few = <R extends { readonly id: string }>({ rows, onPhone = 2, children }: FewProps<R>) => {
  const { t } = useStaffWords()
  const wide = useWide()
  const [all, setAll] = useState(false)
  const shown = wide || all ? rows : rows.slice(0, onPhone)
  return (
    <>
      <ul className="k-quiet-list k-home-lines">
        {shown.map((row) => (
          <li key={row.id}>{children(row)}</li>
        ))}
      </ul>
      {shown.length < rows.length && (
        <div>
          <Button kind="quiet" onPress={() => setAll(true)}>
            {t('action.showAll')} ({rows.length})
          </Button>
        </div>
      )}
    </>
  )
}
