import { useId, useState, type ReactNode } from 'react'
import { useSharedWords } from '../../i18n/words'
import { Button } from '../Button'
import './pictures.css'

export type PictureTable = {
  readonly columns: readonly { readonly title: string; readonly right?: boolean }[]
  readonly rows: readonly (readonly ReactNode[])[]
}

const SHORT_ON_PAPER = 12

const Table = ({ table, label }: { table: PictureTable; label: string }) => (
  <div className="k-table-scroll" tabIndex={0} role="region" aria-label={label}>
    <table className="k-table">
      <thead>
        <tr>
          {table.columns.map((column) => (
            <th key={column.title} scope="col" data-align={column.right ? 'right' : undefined}>
              {column.title}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {table.rows.map((cells, row) => (
          <tr key={row}>
            {cells.map((cell, index) => (
              <td key={index} data-align={table.columns[index]?.right ? 'right' : undefined}>
                {cell}
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  </div>
)

type PictureProps = {
  /** The answer, as a sentence; also the accessible name. */
  readonly sentence: string
  readonly table: PictureTable
  readonly note?: string
  readonly children: ReactNode
  /** What else can be asked of the picture, beside its table. */
  readonly action?: ReactNode
  /** The drawing holds links or buttons, so screen readers go into it. */
  readonly reachable?: boolean
}

/** A picture with its answer above and a real table of the same data behind it. */
export const Picture = ({ sentence, table, note, children, action, reachable = false }: PictureProps) => {
  const { t } = useSharedWords()
  const [open, setOpen] = useState(false)
  const id = useId()
  // a long table is not printed, so it need not be there before it is asked for
  const short = table.rows.length < SHORT_ON_PAPER
  return (
    <figure className="k-figure-picture" aria-labelledby={id}>
      <figcaption id={id}>{sentence}</figcaption>
      <div aria-hidden={reachable ? undefined : true}>{children}</div>
      <div className="k-picture-foot">
        {note && <p className="k-caption">{note}</p>}
        {action}
        <Button kind="quiet" onPress={() => setOpen(!open)}>
          {t(open ? 'action.hideTable' : 'action.showTable')}
        </Button>
      </div>
      <div className="k-picture-table" hidden={!open} data-short={short || undefined}>
        {(open || short) && <Table table={table} label={sentence} />}
      </div>
    </figure>
  )
}
