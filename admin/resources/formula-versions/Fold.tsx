import { useState, type ReactNode } from 'react'

/** A part that waits behind its heading. What is inside is worked out once it is opened, and then stays. */
export const Fold = ({ title, open = false, children }: { title: string; open?: boolean; children: ReactNode }) => {
  const [seen, setSeen] = useState(open)
  return (
    <details className="k-details" open={open || undefined} onToggle={(event) => event.currentTarget.open && setSeen(true)}>
      <summary>{title}</summary>
      {seen && <div className="k-stack">{children}</div>}
    </details>
  )
}
