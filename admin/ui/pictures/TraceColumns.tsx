import { useStaffWords } from '../../i18n/words'
import { Picture } from './Picture'
import { layOutTrace, rootsOf, type PlacedNode, type TraceLink, type TraceNode } from './traceLayout'

export type { TraceLink, TraceNode } from './traceLayout'

const ROW_PX = 88
const BOX_PX = 76
const BOX_SHARE = 0.72

const lineWidth = (kg: number, most: number): number => 2 + (kg / most) * 12

type WideProps = { readonly nodes: readonly TraceNode[]; readonly links: readonly TraceLink[]; readonly askedId: string }

const Wide = ({ nodes, links, askedId }: WideProps) => {
  const { t } = useStaffWords()
  const layout = layOutTrace(nodes, links, askedId)
  const width = 100 / layout.columns.length
  const height = layout.rows * ROW_PX
  const byId = new Map(layout.nodes.map((node) => [node.id, node]))
  const most = Math.max(...layout.links.map((link) => link.kg), 0.001)
  const middle = (node: PlacedNode): number => node.row * ROW_PX + BOX_PX / 2
  return (
    <div className="k-trace-wide">
      <div className="k-trace-columns" style={{ gridTemplateColumns: `repeat(${layout.columns.length}, 1fr)` }}>
        {layout.columns.map((level) => (
          <div key={level} className="k-trace-head">
            {t(`picture.trace.${level}`)}
          </div>
        ))}
      </div>
      <div style={{ position: 'relative', height }}>
        <svg viewBox={`0 0 100 ${height}`} preserveAspectRatio="none" aria-hidden>
          {layout.links.map((link) => {
            const from = byId.get(link.from)
            const to = byId.get(link.to)
            if (!from || !to) return null
            const x1 = (from.column + BOX_SHARE) * width
            const x2 = to.column * width
            const bend = (x1 + x2) / 2
            // within one column (rework, carry-over) the line runs round the right side
            const round = x1 + width * 0.2
            const path =
              to.column > from.column
                ? `M${x1} ${middle(from)}C${bend} ${middle(from)} ${bend} ${middle(to)} ${x2} ${middle(to)}`
                : `M${x1} ${middle(from)}C${round} ${middle(from)} ${round} ${middle(to)} ${(to.column + BOX_SHARE) * width} ${middle(to)}`
            return (
              <path
                key={JSON.stringify([link.from, link.to, link.certain])}
                className="k-trace-line"
                data-possible={link.certain ? undefined : true}
                vectorEffect="non-scaling-stroke"
                strokeWidth={lineWidth(link.kg, most)}
                d={path}
              />
            )
          })}
        </svg>
        {layout.nodes.map((node) => {
          const place = { left: `${node.column * width}%`, width: `${width * BOX_SHARE}%`, top: node.row * ROW_PX, height: BOX_PX }
          const inside = (
            <>
              <span>{node.bundled > 0 ? t('picture.moreBoxes', { smart_count: node.bundled }) : node.label}</span>
              <span className="k-caption">{node.kgText}</span>
            </>
          )
          const asked = node.id === askedId || undefined
          return node.href ? (
            <a key={node.id} className="k-trace-box" data-asked={asked} style={place} href={node.href}>
              {inside}
            </a>
          ) : (
            <div key={node.id} className="k-trace-box" data-asked={asked} style={place}>
              {inside}
            </div>
          )
        })}
      </div>
    </div>
  )
}

type BranchProps = WideProps & { readonly node: TraceNode; readonly path: readonly string[]; readonly kgText?: string }

/** One thing with what it went into, indented; a cycle (rework) ends where it would repeat the path. */
const Branch = ({ node, path, nodes, links, askedId, kgText }: BranchProps) => {
  const { t } = useStaffWords()
  const onward = links.filter((link) => link.from === node.id && !path.includes(link.to))
  const asked = node.id === askedId || undefined
  const kg = <span className="k-caption">{kgText ?? node.kgText}</span>
  if (onward.length === 0) {
    return (
      <div className="k-trace-leaf" data-asked={asked}>
        {node.href ? (
          <a className="k-trace-open" href={node.href}>
            {node.label}
          </a>
        ) : (
          <span>{node.label}</span>
        )}
        {kg}
      </div>
    )
  }
  return (
    <details open={path.length < 2 || asked}>
      <summary data-asked={asked}>
        <span>{node.label}</span>
        {kg}
      </summary>
      {node.href && (
        <a className="k-trace-open" href={node.href} aria-label={`${t('action.open')}: ${node.label}`}>
          {t('action.open')}
        </a>
      )}
      {onward.map((link) => {
        const next = nodes.find((candidate) => candidate.id === link.to)
        return (
          next && (
            <Branch
              key={JSON.stringify([link.to, link.certain])}
              node={next}
              path={[...path, node.id]}
              nodes={nodes}
              links={links}
              askedId={askedId}
              kgText={link.certain ? link.kgText : `${link.kgText}, ${t('picture.possible')}`}
            />
          )
        )
      })}
    </details>
  )
}

/** Where did it go? Columns from supplier to member on a desktop, an indented list on a phone and on paper. */
export const TraceColumns = ({ nodes, links, askedId, sentence }: WideProps & { sentence: string }) => {
  const { t } = useStaffWords()
  const label = (id: string): string => nodes.find((node) => node.id === id)?.label ?? ''
  return (
    <Picture
      reachable
      sentence={sentence}
      table={{
        columns: [{ title: t('picture.column.from') }, { title: t('picture.column.to') }, { title: t('picture.column.kg'), right: true }],
        rows: links.map((link) => [
          label(link.from),
          label(link.to),
          link.certain ? link.kgText : `${link.kgText}, ${t('picture.possible')}`,
        ]),
      }}
    >
      <Wide nodes={nodes} links={links} askedId={askedId} />
      <div className="k-trace-narrow">
        {rootsOf(nodes, links).map((node) => (
          <Branch key={node.id} node={node} path={[]} nodes={nodes} links={links} askedId={askedId} />
        ))}
      </div>
    </Picture>
  )
}
