import { useId, type ReactNode } from 'react'

/** A bordered part of a page with its heading; an optional action at the right end of the heading. */
export const Card = ({ title, action, children }: { title?: string; action?: ReactNode; children: ReactNode }) => {
  const id = useId()
  return (
    <section className="k-card" aria-labelledby={title ? id : undefined}>
      {title && (
        <div className="k-card-head">
          <h2 id={id}>{title}</h2>
          {action}
        </div>
      )}
      {children}
    </section>
  )
}

/** Rows of a card: name and figures at the left, state and one action at the right. */
export const Row = ({ children, action }: { children: ReactNode; action?: ReactNode }) => (
  <div className="k-list-row">
    <div className="k-list-main">{children}</div>
    {action && <div className="k-list-action">{action}</div>}
  </div>
)
