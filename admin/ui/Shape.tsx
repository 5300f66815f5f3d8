import { PICTOGRAMS, PICTOGRAM_LINE, PICTOGRAM_SIZE, type PictogramName } from '#core/pictogram/paths'
import { ICONS, type IconName } from './icons'

type DrawingProps = { readonly paths: readonly string[]; readonly size?: number; readonly label?: string | undefined }

/** Lines only, in the colour of the text around. Without a label a screen reader passes over it: the word stands beside. */
const Drawing = ({ paths, size = PICTOGRAM_SIZE, label }: DrawingProps) => (
  <svg
    className="k-drawing"
    width={size}
    height={size}
    viewBox={`0 0 ${PICTOGRAM_SIZE} ${PICTOGRAM_SIZE}`}
    fill="none"
    stroke="currentColor"
    strokeWidth={PICTOGRAM_LINE}
    strokeLinecap="round"
    strokeLinejoin="round"
    {...(label ? { role: 'img', 'aria-label': label } : { 'aria-hidden': true })}
  >
    {paths.map((path) => (
      <path key={path} d={path} />
    ))}
  </svg>
)

export const Pictogram = ({ name, ...rest }: { name: PictogramName; size?: number; label?: string }) => (
  <Drawing paths={PICTOGRAMS[name]} {...rest} />
)

export const Icon = ({ name, ...rest }: { name: IconName; size?: number; label?: string }) => <Drawing paths={ICONS[name]} {...rest} />
