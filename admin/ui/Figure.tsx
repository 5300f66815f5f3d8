import type { TypeStep } from '../theme/tokens'

type FigureProps = { readonly value: string; readonly unit: string; readonly size?: TypeStep; readonly strong?: boolean }

/** A figure never stands without its unit, and no line breaks between the two. */
export const Figure = ({ value, unit, size = 'text', strong = false }: FigureProps) => (
  <span className="k-figure" data-size={size} data-strong={strong || undefined}>
    {value}
    {'\u00a0'}
    {unit}
  </span>
)
